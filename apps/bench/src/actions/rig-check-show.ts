import { formatDb, formatHz, formatWhen, type RigCheck } from '@boardwright/core'
import { type CommandContext, print, printJson } from '../command-context.ts'
import { exitCode } from '../exit-code.ts'
import { withWorkshop } from '../open-workshop.ts'
import { plainPlot } from '../plot/curve-plot.ts'
import { plotDrift } from '../plot/drift-plot.ts'
import type { RigChoice } from '../rig-choice.ts'
import { retestLines } from '../text/retest-lines.ts'
import { outcomeWords, rigKindOfChoice, statusSign } from '../text/rig-check-words.ts'
import { textTable } from '../text/table.ts'

interface ShowOptions {
  number?: number
  rig: RigChoice['rig']
  product?: string
}

const twoDigits = (db: number | null): string => (db === null ? '-' : formatDb(db, { digits: 2, signed: true }))

/** `boardwright rig-check show`: how the rig stands; with a number, one check. */
export function rigCheckShow(context: CommandContext, { number, rig, product: productId }: ShowOptions) {
  return withWorkshop(context, {}, (workshop) => {
    if (number !== undefined) {
      const check = workshop.rigChecks.show(number)
      if (context.json) printJson(context, check)
      else showOne(context, check)
      return exitCode.ok
    }
    const which = { productId, rig: rigKindOfChoice(rig) }
    const status = workshop.rigChecks.status(which)
    const chart = workshop.rigChecks.chart(which)
    const retest = workshop.rigChecks.retest(productId)
    if (context.json) {
      printJson(context, { status, chart, retest })
      return exitCode.ok
    }
    print(context, `${statusSign[status.state]} ${status.sentence}`)
    print(
      context,
      `${status.unitsSince} units tested since the last good check; the next is due after ${status.everyUnits}.`,
    )
    if (status.warning) print(context, `◆ ${status.warning}`)
    for (const series of chart.checks.length > 0 ? [chart.level, chart.shape] : []) {
      print(
        context,
        series.quantity === 'level' ? 'Level at 1 kHz against the reference:' : 'Largest deviation of the curves:',
      )
      print(context, plainPlot(plotDrift({ series, columns: 78, rows: 8 })))
    }
    if (retest.length > 0) print(context, 'To be tested again:')
    for (const line of retestLines(retest)) print(context, line)
    return exitCode.ok
  })
}

function showOne(context: CommandContext, check: RigCheck): void {
  print(
    context,
    `Rig check ${check.id}, ${formatWhen(check.at)}, ${check.rig}, reference ${check.referenceVersion}, ${check.station}`,
  )
  print(context, `${outcomeWords[check.outcome]}  ${check.reasons.join('\n  ')}`)
  for (const { setting, levelDifferenceDb, worst, obstacle } of check.settings) {
    const shape = worst ? `, curve ${twoDigits(worst.deviationDb)} at ${formatHz(worst.frequencyHz)}` : ''
    print(context, `  ${setting}: ${obstacle ?? `level ${twoDigits(levelDifferenceDb)}${shape}`}`)
  }
}

/** `boardwright rig-check list`. */
export function rigCheckList(context: CommandContext, { product: productId }: { product?: string }) {
  return withWorkshop(context, {}, (workshop) => {
    const checks = workshop.rigChecks.list({ productId })
    if (context.json) printJson(context, { checks })
    else if (checks.length === 0) print(context, 'The rig was never checked with the reference board.')
    else
      print(
        context,
        textTable(
          checks.map((one) => [
            String(one.id),
            formatWhen(one.at),
            one.rig,
            outcomeWords[one.outcome],
            `level ${twoDigits(one.levelDb)}`,
            one.reasons[0],
          ]),
        ),
      )
    return exitCode.ok
  })
}
