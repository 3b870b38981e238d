import { BoardwrightError, formatDb, formatWhen } from '@boardwright/core'
import { type CommandContext, print, printJson } from '../command-context.ts'
import { exitCode } from '../exit-code.ts'
import { withWorkshop } from '../open-workshop.ts'
import { plainPlot, plotCurves } from '../plot/curve-plot.ts'
import { textTable } from '../text/table.ts'

/** `boardwright reference list`: every version, without its curves. */
export function referenceList(context: CommandContext, options: { product?: string }) {
  return withWorkshop(context, {}, (workshop) => {
    const references = workshop.references(options.product)
    if (context.json)
      printJson(context, {
        references: references.map(({ settings, ...rest }) => ({
          ...rest,
          settings: settings.map(({ setting, runs, gainAt1kHzDb }) => ({ setting, runs, gainAt1kHzDb })),
        })),
      })
    else if (references.length === 0) print(context, 'No reference yet: boardwright reference add makes one.')
    else
      print(
        context,
        textTable(
          references.map((one) => [
            String(one.version),
            `${one.productId} ${one.revision}`,
            formatWhen(one.createdAt),
            one.station,
            one.settings.map(({ setting, runs }) => `${setting} (${runs})`).join(', '),
            one.note,
          ]),
        ),
      )
    return exitCode.ok
  })
}

/** `boardwright reference show`: one version with its curves. */
export function referenceShow(context: CommandContext, options: { product?: string; version?: number }) {
  return withWorkshop(context, {}, (workshop) => {
    const references = workshop.references(options.product)
    const found =
      options.version === undefined ? references[0] : references.find((one) => one.version === options.version)
    if (!found) {
      const which = options.version === undefined ? 'no reference' : `no reference ${options.version}`
      throw new BoardwrightError('not-found', `There is ${which} of this product.`)
    }
    if (context.json) printJson(context, found)
    else {
      print(
        context,
        `Reference ${found.version} of ${found.productId} ${found.revision}, ${formatWhen(found.createdAt)}, ${found.station}`,
      )
      if (found.note) print(context, found.note)
      const columns = Math.min(100, context.stdout.columns ?? 80)
      for (const { setting, runs, curve, gainAt1kHzDb } of found.settings) {
        print(context, `\n${setting}: ${runs} runs, ${formatDb(gainAt1kHzDb, { digits: 2 })} at 1 kHz`)
        const trace = { frequencyHz: curve.frequencyHz, valueDb: curve.gainDb }
        print(context, plainPlot(plotCurves({ columns, rows: 12, curve: trace })))
      }
    }
    return exitCode.ok
  })
}
