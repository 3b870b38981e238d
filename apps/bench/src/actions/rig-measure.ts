import type { RigSettings } from '@boardwright/core'
import { type CommandContext, note } from '../command-context.ts'
import { exitCode } from '../exit-code.ts'
import { type RigOptions, tellActivity, withRig } from '../session/setup/on-command-line.ts'
import {
  keepResistances,
  measureCorrection,
  measureDrop,
  measureHum,
  measureNoise,
  type ResistorLevels,
  resistorPlaces,
} from '../session/setup/steps.ts'
import { headroomWords } from '../text/headroom-words.ts'
import { tellRig } from './rig-show.ts'

/** `boardwright rig loop-back`: the correction, with its date. */
export async function rigLoopBack(context: CommandContext, options: RigOptions) {
  const settings = await withRig(context, options, (setUp) => measureCorrection(setUp, tellActivity(context)))
  note(
    context,
    'Measure the reference board again, so that it has the correction too: boardwright reference add --rig sound',
  )
  tellRig(context, settings)
  return exitCode.ok
}

/** `boardwright rig noise`: noise, room above the loudest tone, and hum. */
export async function rigNoise(context: CommandContext, options: RigOptions) {
  const settings = await withRig(context, options, async (setUp): Promise<RigSettings> => {
    note(context, '  listening to the silence, then to a tone')
    await measureNoise(setUp)
    note(context, '  listening for mains hum')
    const last = await measureHum(setUp)
    note(context, headroomWords(setUp.workshop.rig.headroom({ name: options.name })))
    return last
  })
  tellRig(context, settings)
  return exitCode.ok
}

/** `boardwright rig resistance`: source and load by a known resistor. */
export async function rigResistance(context: CommandContext, options: RigOptions & { resistor: number }) {
  const settings = await withRig(context, options, async (setUp, answers) => {
    const levels: ResistorLevels = {}
    for (const { key, words } of resistorPlaces) {
      await answers.line(`${words} Enter plays a tone.`, setUp.signal)
      levels[key] = await measureDrop(setUp)
    }
    return keepResistances(setUp, options.resistor, levels)
  })
  tellRig(context, settings)
  return exitCode.ok
}
