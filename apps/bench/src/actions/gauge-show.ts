import { BoardwrightError, formatWhen, type GaugeResult, type GaugeStudy } from '@boardwright/core'
import type { Workshop } from '@boardwright/core/workshop'
import { type CommandContext, print, printJson } from '../command-context.ts'
import { exitCode } from '../exit-code.ts'
import { withWorkshop } from '../open-workshop.ts'
import { quantityCells, quantityHead, stepWords, studyWords } from '../text/gauge-words.ts'
import { textTable } from '../text/table.ts'

/** `boardwright gauge show`: a study and its result. */
export function gaugeShow(context: CommandContext, { number, product }: { number?: number; product?: string }) {
  return withWorkshop(context, {}, (workshop) => {
    const id = number ?? workshop.gaugeStudies.list(product)[0]?.id
    if (id === undefined)
      throw new BoardwrightError('not-found', 'There is no gauge study in this workshop yet.', {
        remedy: 'Begin one with "boardwright gauge start".',
      })
    tellStudy(context, workshop, workshop.gaugeStudies.show(id).study)
    return exitCode.ok
  })
}

/** Where a study stands; its result when it is complete. */
export function tellStudy(context: CommandContext, workshop: Workshop, study: GaugeStudy): void {
  const { next } = workshop.gaugeStudies.show(study.id)
  const result = study.state === 'complete' ? workshop.gaugeStudies.result(study.id) : null
  if (context.json) {
    printJson(context, { study, next, result })
    return
  }
  print(
    context,
    `Gauge study ${study.id} of ${formatWhen(study.startedAt)}, ${studyWords[study.state]}: ${study.readings} of ${study.wanted} readings, ${study.serials.length} boards x ${study.repeats} repeats x ${study.setUps} set-ups, seed ${study.seed}.`,
  )
  if (study.note) print(context, `  ${study.note}`)
  if (next) print(context, `Next: ${stepWords(next, study)}`)
  if (result) tellResult(context, result)
}

function tellResult(context: CommandContext, result: GaugeResult): void {
  for (const sentence of result.words) print(context, sentence)
  print(context, textTable([quantityHead, ...result.quantities.map(quantityCells)]))
  print(context, `boardwright gauge accept ${result.studyId} lets the judge count with it.`)
}

/** `boardwright gauge list`. */
export function gaugeList(context: CommandContext, { product }: { product?: string }) {
  return withWorkshop(context, {}, (workshop) => {
    const studies = workshop.gaugeStudies.list(product)
    if (context.json) printJson(context, { studies })
    else if (studies.length === 0) print(context, 'There is no gauge study in this workshop yet.')
    else
      print(
        context,
        textTable(
          studies.map((one) => [
            String(one.id),
            formatWhen(one.startedAt),
            one.rig,
            studyWords[one.state],
            `${one.readings} of ${one.wanted}`,
            one.note,
          ]),
        ),
      )
    return exitCode.ok
  })
}
