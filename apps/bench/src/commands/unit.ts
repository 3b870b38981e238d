import { Option } from 'commander'
import type { Declare } from './declare.ts'

const actions = ['replaced', 'resoldered', 'turned', 'bridge-removed', 'cleaned', 'other']
const states = ['building', 'untested', 'ready', 'failed', 'rework', 'reserved', 'shipped', 'returned', 'scrapped']

export const declareUnit: Declare = (program, attach) => {
  const unit = program.command('unit').summary('look at units, record rework')
  const list = unit
    .command('list')
    .summary('units, newest change first')
    .addOption(new Option('--state <state>', 'only units in this state').choices(states))
    .option('--search <text>', 'only serial numbers that contain this')
  attach(list, async () => (await import('../actions/unit.ts')).unitList)
  const show = unit.command('show <serial>').summary('one unit: state, test runs with reasons, history')
  attach(show, async () => {
    const { unitShow } = await import('../actions/unit.ts')
    return (context, options: { operand?: string }) => unitShow(context, { serial: options.operand ?? '' })
  })
  const trace = unit
    .command('trace <serial>')
    .summary('which parts are in a unit, and from which lots')
    .option('--csv [file]', 'write it as CSV (RFC 4180) to the file, or to standard output')
  attach(trace, async () => {
    const { unitTrace } = await import('../actions/unit-trace.ts')
    return (context, options: { operand?: string; csv?: string | true }) =>
      unitTrace(context, { ...options, serial: options.operand ?? '' })
  })
  const rework = unit
    .command('rework <serial>')
    .summary('record what was replaced or redone; the unit is untested after it')
    .requiredOption('--part <designator>', 'the part as on the parts list, such as C7 or U1')
    .addOption(new Option('--action <action>', 'what was done').choices(actions).makeOptionMandatory())
    .option('--fitted <text>', 'what was put in, such as "33 nF film"')
    .option('--lot <text>', 'from which lot, as its bag says; one in stock is counted and traced')
    .option('--note <text>', 'anything else worth keeping')
    .option('--unfinished', 'more is to be done: the unit stays in rework')
    .addHelpText(
      'after',
      `
Examples:
  boardwright unit rework PLV-0042 --part C7 --action replaced \\
    --fitted "33 nF film" --lot "green bag, May" --note "was 3.3 nF"
  boardwright unit rework PLV-0042 --part U1 --action resoldered --unfinished

Caution: take the battery out before you solder.`,
    )
  attach(rework, async () => {
    const { unitRework } = await import('../actions/rework.ts')
    return (context, options: Omit<Parameters<typeof unitRework>[1], 'serial'> & { operand?: string }) =>
      unitRework(context, { ...options, serial: options.operand ?? '' })
  })
}
