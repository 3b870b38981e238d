import type { Declare } from './declare.ts'

/** The commands that keep a workshop safe, and the one that makes an example. */
export const declareKeep: Declare = (program, attach) => {
  const backup = program
    .command('backup <copy>')
    .summary('copy the workshop while others work on it, then check the copy')
  attach(backup, async () => {
    const { backup: run } = await import('../actions/backup.ts')
    return (context, options: { operand?: string }) => run(context, { path: options.operand ?? '' })
  })
  const check = program
    .command('check')
    .summary('prove the workshop: structure, journal, every verdict computed again')
    .addHelpText('after', '\nExit codes: 0 all is well, 1 something is wrong, 2 the file cannot be read.')
  attach(check, async () => (await import('../actions/check.ts')).check)
  const demo = program
    .command('demo')
    .summary('make a demo workshop with an invented maker, tested units and units to test')
    .option('--next-unit', 'in a demo workshop that is there: one more unit to test, where none waits')
    .addHelpText('after', '\nIt is made at the path of --file, which must not exist yet.')
  attach(demo, async () => (await import('../actions/demo.ts')).demo)
}
