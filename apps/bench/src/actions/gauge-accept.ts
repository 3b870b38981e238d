import { formatDb } from '@boardwright/core'
import { type CommandContext, print, printJson } from '../command-context.ts'
import { exitCode } from '../exit-code.ts'
import { withWorkshop } from '../open-workshop.ts'
import { UsageError } from '../report-error.ts'
import type { RigChoice } from '../rig-choice.ts'
import { rigKindOfChoice } from '../text/rig-check-words.ts'

interface AcceptOptions {
  number?: number
  testPlan?: boolean
  rig: RigChoice['rig']
  product?: string
}

/** `boardwright gauge accept`: the judge counts with a study, or with the test plan again. */
export function gaugeAccept(context: CommandContext, options: AcceptOptions) {
  const { number, testPlan, rig, product: productId } = options
  if ((number === undefined) === !testPlan) throw new UsageError('Name the study, or give --test-plan.')
  return withWorkshop(context, {}, (workshop) => {
    if (number === undefined) {
      workshop.gaugeStudies.acceptPlan({ productId, rig: rigKindOfChoice(rig) })
      const { rigUncertaintyDb } = workshop.product(productId).testPlan
      if (context.json) printJson(context, { rigUncertaintyDb, source: 'test plan' })
      else print(context, `Tests are judged with ${formatDb(rigUncertaintyDb, { digits: 3 })} (test plan) from now on.`)
      return exitCode.ok
    }
    const taken = workshop.gaugeStudies.accept(number)
    if (context.json) printJson(context, taken)
    else
      print(
        context,
        `Tests are judged with ${formatDb(taken.rigUncertaintyDb, { digits: 3 })} (${taken.source}) from now on; older verdicts keep theirs.`,
      )
    return exitCode.ok
  })
}

/** `boardwright gauge abandon`. */
export function gaugeAbandon(context: CommandContext, { number: id, note }: { number: number; note: string }) {
  return withWorkshop(context, {}, (workshop) => {
    const study = workshop.gaugeStudies.abandon({ id, note })
    if (context.json) printJson(context, { study })
    else print(context, `Gauge study ${study.id} is given up; its ${study.readings} readings stay.`)
    return exitCode.ok
  })
}
