import { Option } from 'commander'
import { collectFault, parsePositive, parseWhole } from '../parse-option.ts'
import type { Declare } from './declare.ts'

export const declareBatch: Declare = (program, attach) => {
  const command = program
    .command('batch')
    .summary('test board after board: swap it, press the pedal, take the label')
    .addOption(
      new Option('--rig <rig>', 'what plays and records')
        .choices(['sound', 'simulated', 'folder'])
        .default('simulated'),
    )
    .option('--rig-name <name>', 'which rig, with --rig sound, where there is more than one')
    .option('--folder <path>', 'the folder that is watched for SERIAL-SETTING.wav')
    .option('--labels <folder>', 'where labels are written; else the folder "labels" beside the workshop')
    .option('--print-command <command>', 'gets the path of each label as its last word, such as "lp -d NAME"')
    .option('--product <id>', 'product, where there is more than one')
    .option('--seed <n>', 'draws other simulated boards', parseWhole({ least: 0, most: 2 ** 31 }))
    .option('--fault <kind:part>', 'fault of every simulated board, such as open:C8', collectFault)
    .option('--speed <factor>', 'how many times faster than a real rig the simulated one is', parsePositive, 4)
    .addHelpText(
      'after',
      `
The pedal is a foot switch that types a space or Enter. Boards come in order of
their serial numbers, or as they are scanned. Every verdict is stored at once;
a board that fails or must be repeated goes aside, and the batch goes on.

Examples:
  boardwright batch --rig sound --print-command "lp -d label"
  boardwright batch --rig simulated --speed 1

Caution: a rig plays loud test signals. Headphones off, loudspeakers down.`,
    )
  attach(command, async () => (await import('../actions/batch.ts')).batch)
}
