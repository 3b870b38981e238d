import { Option } from 'commander'
import type { Declare } from './declare.ts'

const states = ['building', 'untested', 'ready', 'failed', 'rework', 'reserved', 'shipped', 'returned', 'scrapped']

export const declareUnit: Declare = (program, attach) => {
  const unit = program.command('unit').summary('look at units')
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
}
