import { type CommandContext, print, printJson } from '../command-context.ts'
import { exitCode } from '../exit-code.ts'
import { withWorkshop } from '../open-workshop.ts'
import type { RigChoice } from '../rig-choice.ts'
import { stepWords } from '../text/gauge-words.ts'
import { rigKindOfChoice } from '../text/rig-check-words.ts'

interface StartOptions {
  unit: string[]
  repeats: number
  setUps: number
  seed?: number
  note: string
  rig: RigChoice['rig']
  product?: string
}

/** `boardwright gauge start`: begins a study. */
export function gaugeStart(context: CommandContext, options: StartOptions) {
  const { unit: serials, repeats, setUps, seed, note, rig, product: productId } = options
  return withWorkshop(context, {}, (workshop) => {
    const what = { productId, rig: rigKindOfChoice(rig), serials, repeats, setUps, seed, note }
    const progress = workshop.gaugeStudies.start(what)
    if (context.json) {
      printJson(context, progress)
      return exitCode.ok
    }
    const { study, next } = progress
    print(
      context,
      `Gauge study ${study.id}: ${serials.length} boards x ${repeats} repeats x ${setUps} set-ups, ${study.wanted} readings, seed ${study.seed}.`,
    )
    if (next) print(context, `First: ${stepWords(next, study)}`)
    return exitCode.ok
  })
}
