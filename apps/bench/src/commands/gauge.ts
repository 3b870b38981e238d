import { collectText, parseWhole } from '../parse-option.ts'
import type { Declare } from './declare.ts'
import { rigKindOption, withRecordingOptions, withRigOptions } from './rig-options.ts'

const product = ['--product <id>', 'product, where there is more than one'] as const
const parseNumberOf = parseWhole({ least: 1, most: 1e9 })

/** The number of a study as operand. */
interface WithNumber {
  operand?: string
}
const numberOf = ({ operand }: WithNumber): number | undefined =>
  operand === undefined ? undefined : parseNumberOf(operand)

export const declareGauge: Declare = (program, attach) => {
  const group = program.command('gauge').summary('find out how well the rig repeats; the guard band follows from it')

  const start = group
    .command('start')
    .summary('begin a study: boards x repeats x set-ups, in a random order')
    .requiredOption('--unit <serial>', 'a board that takes part; two or more, five is a good number', collectText)
    .option('--repeats <n>', 'sweeps of a board without touching it', parseWhole({ least: 2, most: 20 }), 3)
    .option('--set-ups <n>', 'how often each board is put in anew', parseWhole({ least: 2, most: 20 }), 3)
    .option('--seed <n>', 'decides the order; from the clock unless told', parseWhole({ least: 0, most: 2 ** 31 }))
    .option('--note <text>', 'anything worth keeping, such as "new pins"', '')
    .addOption(rigKindOption())
    .option(...product)
    .addHelpText(
      'after',
      `
Take boards that differ, as boards do: the rig cannot show that it tells them
apart when they are alike. Three set-ups tell much more than two.

Example:
  boardwright gauge start --unit PLV-0001 --unit PLV-0002 --unit PLV-0003 \\
    --unit PLV-0004 --unit PLV-0005 --note "new pins"`,
    )
  attach(start, async () => (await import('../actions/gauge-start.ts')).gaugeStart)

  const run = withRigOptions(group.command('run').summary('go on with the study: it says which board to put in'))
    .option('--readings <n>', 'stop after so many readings', parseWhole({ least: 1, most: 8000 }))
    .option('--boards-in', 'do not wait for a key before each board (for a rig that changes boards itself)')
    .option(...product)
    .addHelpText(
      'after',
      `
Ctrl-C stops; what was read is kept, and the next run goes on from there.

Caution: a rig plays loud test signals. Headphones off, loudspeakers down.`,
    )
  attach(run, async () => (await import('../actions/gauge-run.ts')).gaugeRun)

  const add = withRecordingOptions(group.command('add').summary('take the next reading from files'))
  attach(add, async () => (await import('../actions/gauge-run.ts')).gaugeAdd)

  const show = group
    .command('show [number]')
    .summary('a study and its result; the newest unless told')
    .option(...product)
  attach(show, async () => {
    const { gaugeShow } = await import('../actions/gauge-show.ts')
    return (context, options: WithNumber & { product?: string }) =>
      gaugeShow(context, { product: options.product, number: numberOf(options) })
  })

  const list = group
    .command('list')
    .summary('all studies, newest first')
    .option(...product)
  attach(list, async () => (await import('../actions/gauge-show.ts')).gaugeList)

  const accept = group
    .command('accept [number]')
    .summary('let the judge count with what a study found; the guard band of later tests follows')
    .option('--test-plan', 'let the figure of the test plan count again instead')
    .addOption(rigKindOption())
    .option(...product)
  attach(accept, async () => {
    const { gaugeAccept } = await import('../actions/gauge-accept.ts')
    return (context, options: Omit<Parameters<typeof gaugeAccept>[1], 'number'> & WithNumber) =>
      gaugeAccept(context, { ...options, number: numberOf(options) })
  })

  const abandon = group
    .command('abandon <number>')
    .summary('give a study up; its readings stay')
    .option('--note <text>', 'why', '')
  attach(abandon, async () => {
    const { gaugeAbandon } = await import('../actions/gauge-accept.ts')
    return (context, options: WithNumber & { note: string }) =>
      gaugeAbandon(context, { note: options.note, number: numberOf(options) ?? 0 })
  })
}
