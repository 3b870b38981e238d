import { formatDuration, formatWhen } from '@boardwright/core'
import type { BuildDetail, BuildUnit } from '@boardwright/core/workshop'
import { type CommandContext, print, printJson } from '../command-context.ts'
import { exitCode } from '../exit-code.ts'
import { withWorkshop } from '../open-workshop.ts'
import { stepLines } from '../text/step-lines.ts'
import { textTable } from '../text/table.ts'
import { serialsWords } from './build-plan.ts'

/** `boardwright build list`: newest first. */
export function buildList(context: CommandContext, options: { product?: string }) {
  return withWorkshop(context, {}, (workshop) => {
    const builds = workshop.builds.list({ productId: options.product })
    if (context.json) printJson(context, { builds })
    else if (builds.length === 0) print(context, 'Nothing was built yet.')
    else
      print(
        context,
        textTable(
          builds.map(({ build, state, units }) => [
            String(build.id),
            state === 'done' ? 'boards done' : `${units.filter((unit) => unit.state === 'building').length} in work`,
            `${build.productId} ${build.revision}`,
            `${units.length} units`,
            serialsWords(build.serials),
            formatWhen(build.startedAt),
          ]),
        ),
      )
    return exitCode.ok
  })
}

/** `boardwright build show NUMBER`: units, their next steps, what is wrong, and the pace. */
export function buildShow(context: CommandContext, options: { id: number; steps?: boolean }) {
  return withWorkshop(context, {}, (workshop) => {
    const detail = workshop.builds.show(options.id)
    if (context.json) printJson(context, detail)
    else {
      printBuild(context, detail)
      if (options.steps) {
        const { build } = detail
        const parts = new Map(workshop.stock.parts().map((part) => [part.number, part]))
        const { board } = workshop.product(build.productId, build.revision)
        print(context, stepLines({ steps: build.steps, parts, board }).join('\n'))
      }
    }
    return exitCode.ok
  })
}

export interface BuildStepOptions {
  id: number
  step: string
  unit?: string[]
  minutes?: number
  undo?: boolean
  wrong?: string
  note?: string
  photo?: string
}

/** `boardwright build step NUMBER`: records a work step, or that something is wrong. */
export function buildStep(context: CommandContext, options: BuildStepOptions) {
  const { id: buildId, step, unit: serials, minutes, undo, wrong, note, photo: photoPath } = options
  const mark = wrong !== undefined ? ('wrong' as const) : undo ? ('undone' as const) : ('done' as const)
  const workedS = minutes === undefined ? undefined : 60 * minutes
  return withWorkshop(context, {}, (workshop) => {
    const detail = workshop.builds.recordWork({ buildId, step, serials, mark, workedS, note: wrong ?? note, photoPath })
    if (context.json) printJson(context, detail)
    else print(context, unitTable(detail.units, detail.build.steps.length))
    return exitCode.ok
  })
}

export interface BuildScrapOptions {
  serial: string
  reason: string
  putBack?: 'all' | string[]
}

/** `boardwright build scrap SERIAL`: gives up a board in work. */
export function buildScrap(context: CommandContext, options: BuildScrapOptions) {
  return withWorkshop(context, {}, (workshop) => {
    const unit = workshop.builds.scrapUnit(options)
    if (context.json) printJson(context, { unit })
    else print(context, `${unit.serial} is scrapped; its serial number is not given again.`)
    return exitCode.ok
  })
}

const unitTable = (units: readonly BuildUnit[], steps: number): string =>
  textTable(
    units.map(({ serial, state, done, next, workedS }) => [
      `  ${serial}`,
      state,
      `${done.length} of ${steps} steps`,
      next === null ? 'all done' : `next: ${next}`,
      workedS > 0 ? minutesWords(workedS) : '',
    ]),
  )

const minutesWords = (durationS: number): string =>
  durationS < 60 ? formatDuration(durationS) : `${Number((durationS / 60).toPrecision(3))} min`

function printBuild(context: CommandContext, { build, state, units, work, pace, movements }: BuildDetail): void {
  const head = `Build ${build.id}: ${units.length} of ${build.productId} ${build.revision}, ${state === 'done' ? 'boards done' : 'in work'}`
  print(context, `${head}, started ${formatWhen(build.startedAt)} (${build.station})`)
  if (build.note) print(context, `  ${build.note}`)
  print(context, unitTable(units, build.steps.length))
  const wrong = work.filter(({ mark }) => mark === 'wrong')
  if (wrong.length > 0) print(context, 'Something was wrong:')
  for (const { serial, step, note, photoPath, at } of wrong)
    print(context, `  ${serial}, ${step}, ${formatWhen(at)}: ${note}${photoPath ? ` (${photoPath})` : ''}`)
  print(context, `Lots: ${movements.map(({ lotId, pieces }) => `${lotId} ${-pieces}`).join(', ')}`)
  const place = ({ step }: { step: string }) => build.steps.findIndex(({ key }) => key === step)
  const inOrder = pace.filter((one) => place(one) >= 0).sort((one, other) => place(one) - place(other))
  if (inOrder.length === 0) return
  print(context, 'Median time of a step, a unit:')
  print(
    context,
    textTable(inOrder.map(({ step, medianS, times }) => [`  ${step}`, minutesWords(medianS), `of ${times}`])),
  )
}
