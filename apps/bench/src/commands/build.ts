import { type Command, Option } from 'commander'
import type { BuildOptions } from '../actions/build-plan.ts'
import { collectPlaces, collectText, parsePositive, parseWhole } from '../parse-option.ts'
import type { Declare } from './declare.ts'

const orders = ['inside-out', 'lowest-first', 'own']

/** What plan and start have in common. */
const withBuildOptions = (command: Command): Command =>
  command
    .requiredOption('--units <n>', 'how many boards', parseWhole({ least: 1, most: 500 }))
    .option('--revision <revision>', 'an older revision than the newest')
    .addOption(new Option('--order <order>', "of placing; by default the product's own").choices(orders))
    .option('--first-number <n>', 'begin the serial numbers there', parseWhole({ least: 1, most: 999_999_999 }))

const buildNumber = (operand: string | undefined): number =>
  parseWhole({ least: 1, most: 2_000_000_000 })(operand ?? '')

export const declareBuild: Declare = (program, attach) => {
  const build = program.command('build').summary('build boards: kit list, serial numbers, work steps')
  const plan = withBuildOptions(
    build.command('plan [product]').summary('the kit list: what to lay out, from which lots, what is short'),
  )
    .option('--steps', 'the work steps too: places, markings, bends, cautions')
    .option('--csv [file]', 'the kit list as CSV (RFC 4180) to the file, or to standard output')
    .addHelpText(
      'after',
      '\nIt changes nothing. Exit codes: 0 all is here, 1 something is short.\n\nExample:\n  boardwright build plan --units 6 --steps',
    )
  attach(plan, async () => {
    const { buildPlan } = await import('../actions/build-plan.ts')
    return (context, { operand, ...options }: BuildOptions & { operand?: string }) =>
      buildPlan(context, { ...options, product: operand })
  })
  const start = withBuildOptions(
    build.command('start [product]').summary('take the parts out of stock and give the serial numbers'),
  )
    .option('--note <text>', 'what this build is for')
    .addHelpText(
      'after',
      '\nAll of it happens at once or not at all.\n\nExample:\n  boardwright build start --units 6 --note "spring orders"',
    )
  attach(start, async () => {
    const { buildStart } = await import('../actions/build-plan.ts')
    return (context, { operand, ...options }: BuildOptions & { operand?: string }) =>
      buildStart(context, { ...options, product: operand })
  })
  const list = build.command('list').summary('builds, newest first').option('--product <id>', 'only of this product')
  attach(list, async () => (await import('../actions/build-show.ts')).buildList)
  const show = build
    .command('show <number>')
    .summary('one build: units, next steps, what was wrong, times')
    .option('--steps', 'the work steps with markings, bends and cautions')
  attach(show, async () => {
    const { buildShow } = await import('../actions/build-show.ts')
    return (context, options: { operand?: string; steps?: boolean }) =>
      buildShow(context, { ...options, id: buildNumber(options.operand) })
  })
  const scrap = build
    .command('scrap <serial>')
    .summary('give up a board in work; parts not fitted yet go back into their lots')
    .requiredOption('--reason <text>', 'why; it stays with the unit')
    .option('--put-back <designators>', 'places whose parts go back, such as C7,U1, or all', collectPlaces)
  attach(scrap, async () => {
    const { buildScrap } = await import('../actions/build-show.ts')
    return (
      context,
      { operand, ...options }: Omit<Parameters<typeof buildScrap>[1], 'serial'> & { operand?: string },
    ) => buildScrap(context, { ...options, serial: operand ?? '' })
  })
  const step = build
    .command('step <number>')
    .summary('record a work step of some units or of the whole build')
    .requiredOption('--step <key>', 'such as trim; build show NUMBER --steps lists them')
    .option('--unit <serial>', 'only this unit; may be given often', collectText)
    .option('--minutes <n>', 'time worked on all of them together', parsePositive)
    .option('--undo', 'it has to be done again')
    .option('--wrong <text>', 'something is wrong: say what')
    .option('--photo <path>', 'where a photo of it is kept')
    .option('--note <text>', 'anything worth keeping')
    .addHelpText(
      'after',
      `
A unit whose board steps are all done waits for the rig.

Examples:
  boardwright build step 3 --step trim --minutes 12
  boardwright build step 3 --step place-r2 --unit PLV-0021 --wrong "pad lifted"`,
    )
  attach(step, async () => {
    const { buildStep } = await import('../actions/build-show.ts')
    return (context, { operand, ...options }: Omit<Parameters<typeof buildStep>[1], 'id'> & { operand?: string }) =>
      buildStep(context, { ...options, id: buildNumber(operand) })
  })
}
