import { Option } from 'commander'
import { collectFault, parseNumber, parsePositive, parseWhole } from '../parse-option.ts'
import type { Declare } from './declare.ts'

export const declareOpen: Declare = (program, attach) => {
  const command = program
    .command('open')
    .summary('open the bench: scan a serial number, one key, verdict')
    .addOption(
      new Option(
        '--rig <rig>',
        'sound: your sound interface; simulated: computed boards, nothing is measured; folder: recordings dropped in a folder',
      )
        .choices(['sound', 'simulated', 'folder'])
        .default('simulated'),
    )
    .option('--rig-name <name>', 'which rig, with --rig sound, where there is more than one')
    .option('--folder <path>', 'the folder that is watched; recordings are named SERIAL-SETTING.wav')
    .option('--product <id>', 'product, where there is more than one')
    .option('--seed <n>', 'draws other simulated boards', parseWhole({ least: 0, most: 2 ** 31 }))
    .option('--fault <kind:part>', 'fault of every simulated board, such as open:C8 or pin-open:battery', collectFault)
    .option('--drift <db>', 'how far the level of the simulated rig has gone, such as 0.4', parseNumber)
    .option('--drift-treble <db>', 'how far its treble has gone, such as -0.8', parseNumber)
    .option('--speed <factor>', 'how many times faster than a real rig the simulated one is', parsePositive, 4)
    .addHelpText(
      'after',
      `
Examples:
  boardwright open
  boardwright open --rig sound
  boardwright open --rig folder --folder ~/recordings

Caution: a sweep can be loud. Headphones off, loudspeakers down before a rig
plays.`,
    )
  attach(command, async () => (await import('../actions/open.ts')).open)
}
