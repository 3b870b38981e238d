import type { Declare } from './declare.ts'

export const declareLabel: Declare = (program, attach) => {
  const command = program
    .command('label <serial>')
    .summary('make the label of a unit again, and print it')
    .option('--labels <folder>', 'where it is written; else the folder "labels" beside the workshop')
    .option('--print-command <command>', 'gets the path of the label as its last word, such as "lp -d NAME"')
  attach(command, async () => (await import('../actions/label.ts')).label)
}
