import { type RigChanges, RigSettings, type SettingChange, type SoundFamily } from '@boardwright/core'
import type { Workshop } from '@boardwright/core/workshop'
import { type CommandContext, note } from '../command-context.ts'
import { exitCode } from '../exit-code.ts'
import { withWorkshop } from '../open-workshop.ts'
import { UsageError } from '../report-error.ts'
import { findDevices, refuseUnfit } from '../session/setup/devices.ts'
import { tellRig } from './rig-show.ts'

interface RigSetOptions {
  output?: string
  outputChannel?: number
  input?: string
  inputChannel?: number
  loopBackChannel?: number | 'off'
  rate?: number
  bits?: number
  limit?: number
  source?: number
  load?: number
  settings?: SettingChange
  family?: SoundFamily
  unplugged?: boolean
  name?: string
}

const fromOne = (channel: number | undefined) => (channel === undefined ? undefined : channel - 1)

/** Leaves out what was not told. */
const told = <T extends object>(changes: T): Partial<T> =>
  Object.fromEntries(Object.entries(changes).filter(([, value]) => value !== undefined)) as Partial<T>

/** A device that changes has its first channel, unless told. */
function changesOf(options: RigSetOptions, before: RigSettings | undefined): RigChanges {
  const { output, input, loopBackChannel } = options
  const loopBack = loopBackChannel === 'off' ? null : fromOne(loopBackChannel)
  const oldOutput = output === undefined || output === before?.output.device ? before?.output : undefined
  const oldInput = input === undefined || input === before?.input.device ? before?.input : undefined
  const newOutput = { ...oldOutput, ...told({ device: output, channel: fromOne(options.outputChannel) }) }
  const newInput = {
    ...oldInput,
    ...told({ device: input, channel: fromOne(options.inputChannel), loopBackChannel: loopBack }),
  }
  return told({
    output: newOutput.device === undefined ? undefined : { ...newOutput, device: newOutput.device },
    input: newInput.device === undefined ? undefined : { ...newInput, device: newInput.device },
    rateHz: options.rate,
    leastBits: options.bits,
    maxLevelDbfs: options.limit,
    sourceResistanceOhm: options.source,
    loadResistanceOhm: options.load,
    settingChange: options.settings,
    family: options.family,
  })
}

/** What the change would give, looked at by the devices as they are. Errors: those of `checkDevices`, no-sound-system. */
async function lookAtDevices(
  context: CommandContext,
  workshop: Workshop,
  name: string | undefined,
  changes: RigChanges,
) {
  const before = workshop.rig.current(name)
  const next = RigSettings.safeParse({ version: 1, changedAt: new Date().toISOString(), ...before, ...changes })
  // What cannot be a setting at all is refused when it is saved, with a sentence of its own.
  if (!next.success) return
  refuseUnfit(next.data, await findDevices(context.env, next.data.family))
}

/** `boardwright rig set`: the next version of the rig's settings. */
export function rigSet(context: CommandContext, options: RigSetOptions) {
  return withWorkshop(context, { create: true }, async (workshop) => {
    const { name, unplugged } = options
    const before = workshop.rig.current(name)
    const changes = changesOf(options, before)
    if (Object.keys(changes).length === 0) throw new UsageError('Say what to change, such as --limit -18.')
    if (!unplugged) await lookAtDevices(context, workshop, name, changes)
    const settings = workshop.rig.save({ name, changes })
    if (before?.correction && !settings.correction)
      note(context, 'The old correction, levels, noise and hum are dropped: they were measured through another path.')
    tellRig(context, settings)
    return exitCode.ok
  })
}
