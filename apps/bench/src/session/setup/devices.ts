import { BoardwrightError, RigSettings, type SoundFamily } from '@boardwright/core'
import { checkDevices, findSoundSystem, type SoundDevice } from '@boardwright/core/audio'

export interface FoundDevices {
  family: SoundFamily
  outputs: SoundDevice[]
  inputs: SoundDevice[]
  /** False when devices can be used that are not listed. */
  listsAll: boolean
}

/** The devices of this computer. Errors: no-sound-system, device-missing when there is none at all. */
export async function findDevices(
  environment: NodeJS.ProcessEnv,
  family: SoundFamily | null = null,
): Promise<FoundDevices> {
  const system = await findSoundSystem({ family, environment })
  const devices = await system.listDevices()
  const found = {
    family: system.family,
    listsAll: system.listsAll,
    outputs: devices.filter(({ direction }) => direction === 'output'),
    inputs: devices.filter(({ direction }) => direction === 'input'),
  }
  for (const [direction, list] of [
    ['output', found.outputs],
    ['input', found.inputs],
  ] as const)
    if (list.length === 0 && system.listsAll)
      throw new BoardwrightError('device-missing', `This computer has no sound ${direction}.`, {
        remedy: 'Plug the sound interface in, look that the system lists it, and try again.',
      })
  return found
}

/** Refuses settings that the devices as they are now cannot keep. Errors: those of `checkDevices`. */
export function refuseUnfit(
  changes: Pick<RigSettings, 'output' | 'input' | 'rateHz' | 'leastBits'>,
  { outputs, inputs, listsAll }: FoundDevices,
): void {
  const settings = RigSettings.parse({ ...changes, version: 1, changedAt: new Date(0).toISOString() })
  checkDevices(settings, [...outputs, ...inputs], { listsAll })
}
