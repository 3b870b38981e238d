import { formatWhen, type PlacingOrder } from '@boardwright/core'
import type { BuildPlan } from '@boardwright/core/workshop'
import { type CommandContext, print, printJson } from '../command-context.ts'
import { exitCode } from '../exit-code.ts'
import { withWorkshop } from '../open-workshop.ts'
import { csvTarget, writeCsv } from '../text/csv-output.ts'
import { stepLines } from '../text/step-lines.ts'
import { textTable } from '../text/table.ts'

export interface BuildOptions {
  product?: string
  revision?: string
  units: number
  order?: PlacingOrder
  firstNumber?: number
  note?: string
  steps?: boolean
  csv?: string | true
}

/** `boardwright build plan`: the kit list. Exit code 1 when something is short. */
export function buildPlan(context: CommandContext, options: BuildOptions) {
  const target = csvTarget(context, options.csv)
  return withWorkshop(context, {}, (workshop) => {
    const plan = workshop.builds.plan({ ...options, productId: options.product })
    const code = plan.ready ? exitCode.ok : exitCode.fail
    if (context.json) printJson(context, plan)
    else if (target !== undefined) writeCsv(context, target, kitRows(plan))
    else {
      printPlan(context, plan)
      if (options.steps) {
        const parts = new Map(workshop.stock.parts().map((part) => [part.number, part]))
        const { board } = workshop.product(plan.productId, plan.revision)
        print(context, `\nWork steps, ${plan.order}:`)
        print(context, stepLines({ steps: plan.steps, parts, board }).join('\n'))
      }
    }
    return code
  })
}

/** `boardwright build start`: takes the parts out of stock and gives the serial numbers. */
export function buildStart(context: CommandContext, options: BuildOptions) {
  return withWorkshop(context, {}, (workshop) => {
    const started = workshop.builds.start({ ...options, productId: options.product })
    if (context.json) {
      printJson(context, started)
      return exitCode.ok
    }
    const { build, movements } = started
    const pieces = movements.reduce((sum, movement) => sum - movement.pieces, 0)
    print(
      context,
      `Build ${build.id}: ${build.serials.length} of ${build.productId} ${build.revision}, ${serialsWords(build.serials)}.`,
    )
    print(
      context,
      `${pieces} pieces from ${movements.length} lots are out of stock. First: ${build.steps[0]?.title ?? 'nothing'}.`,
    )
    return exitCode.ok
  })
}

export const serialsWords = (serials: readonly string[]): string =>
  serials.length > 3 ? `${serials[0]} to ${serials.at(-1)}` : serials.join(', ')

const kitRows = ({ lines }: BuildPlan) => [
  ['part', 'value', 'designators', 'needed', 'lot', 'lot part', 'pieces', 'short', 'expected on'],
  ...lines.flatMap(({ part, value, designators, needed, takes, short, expectedOn }) => {
    const head = [part, value, designators.join(' '), needed]
    const tail = [short, expectedOn ?? '']
    if (takes.length === 0) return [[...head, '', '', 0, ...tail]]
    return takes.map((take) => [...head, take.lotId, take.part, take.pieces, ...tail])
  }),
]

function printPlan(context: CommandContext, plan: BuildPlan): void {
  const { productId, revision, units, serials, lines, unlisted, ready } = plan
  print(
    context,
    `${units} of ${productId} ${revision}: ${serialsWords(serials)}. ${ready ? 'Everything is here.' : 'Not everything is here.'}`,
  )
  const rows = lines.flatMap(({ value, designators, takes }) =>
    takes.map((take) => [`${String(take.pieces).padStart(5)}  ${take.part}`, take.lotId, value, designators.join(' ')]),
  )
  if (rows.length > 0) print(context, `Lay out:\n${textTable(rows)}`)
  for (const line of lines.filter(({ short }) => short > 0)) print(context, shortWords(line))
  if (unlisted.length > 0) print(context, `The parts list says nothing of ${unlisted.join(', ')}.`)
}

function shortWords({ part, value, short, needed, expectedOn, waiting, known }: BuildPlan['lines'][0]): string {
  const arrival =
    expectedOn === null
      ? known
        ? 'its lead time is not known'
        : 'the workshop does not know this part yet'
      : `here by ${formatWhen(`${expectedOn}T12:00:00Z`).split(',')[0]} if ordered today`
  const held = waiting.map(
    ({ lotId, stock, state }) => `; ${stock} in lot ${lotId}, ${state === 'held' ? 'held' : 'not inspected yet'}`,
  )
  return `Short: ${part}${value ? ` (${value})` : ''}, ${short} of ${needed} missing, ${arrival}${held.join('')}.`
}
