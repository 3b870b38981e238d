import { collectText, parseWhole } from '../parse-option.ts'
import type { Declare } from './declare.ts'
import { rigKindOption, withRecordingOptions, withRigOptions } from './rig-options.ts'

const product = ['--product <id>', 'product, where there is more than one'] as const

export const declareRigCheck: Declare = (program, attach) => {
  const group = program
    .command('rig-check')
    .summary('prove the rig with the reference board; drift, units to test again')

  const run = withRecordingOptions(
    withRigOptions(group.command('run').summary('measure the reference board and judge the rig by it')),
  ).addHelpText(
    'after',
    `
Put the reference board in. Do it first thing in a session, after every 20
units (the test plan says how many), and whenever something of the rig was
touched. When the rig has drifted, nothing is tested on it until it is good
again, and the units since its last good check are listed.

Exit codes: 0 good, 1 drifted, 3 repeat (a recording proves nothing).

Examples:
  boardwright rig-check run --rig sound
  boardwright rig-check run --rig folder --folder ~/rig
      (drop REFERENCE-max.wav and REFERENCE-min.wav there)
  boardwright rig-check run --setting max=r1.wav --setting min=r2.wav

Caution: a rig plays loud test signals. Headphones off, loudspeakers down.`,
  )
  attach(run, async () => (await import('../actions/rig-check-run.ts')).rigCheckRun)

  const show = group
    .command('show [number]')
    .summary('how the rig stands: drift chart, units to test again; or one check')
    .addOption(rigKindOption())
    .option(...product)
  attach(show, async () => {
    const { rigCheckShow } = await import('../actions/rig-check-show.ts')
    return (context, options: Omit<Parameters<typeof rigCheckShow>[1], 'number'> & { operand?: string }) => {
      const { operand } = options
      const number = operand === undefined ? undefined : parseWhole({ least: 1, most: 1e9 })(operand)
      return rigCheckShow(context, { ...options, number })
    }
  })

  const list = group
    .command('list')
    .summary('all checks of all rigs, newest first')
    .option(...product)
  attach(list, async () => (await import('../actions/rig-check-show.ts')).rigCheckList)

  const takeBack = group
    .command('take-back')
    .summary('take units that must be tested again off the shelf: they are untested again')
    .option('--unit <serial>', 'one unit; may be given more than once', collectText)
    .option('--all', 'every ready or reserved unit on the list')
    .option(...product)
    .addHelpText(
      'after',
      `
A reserved unit is promised to a customer, and a shipped one is with one: those
are yours to decide about, and nothing is told to anybody by this command.

Examples:
  boardwright rig-check take-back --unit PLV-0042
  boardwright rig-check take-back --all`,
    )
  attach(takeBack, async () => (await import('../actions/rig-check-take-back.ts')).rigCheckTakeBack)
}
