import { Option } from 'commander'
import { collectFault, parseWhole } from '../parse-option.ts'
import type { Declare } from './declare.ts'

export const declareHard: Declare = (program, attach) => {
  const command = program
    .command('hard')
    .summary('press a board hard: how it compresses and clips, against the reference board')
    .option('--unit <serial>', 'the unit, as on its label')
    .option('--reference', 'press the reference board: its signature is what units are compared with')
    .option('--takes <n>', 'how often the reference board is pressed', parseWhole({ least: 1, most: 20 }), 3)
    .option('--show', 'show what is stored, press nothing')
    .option('--stimuli <folder>', 'write the sounds as WAV files, for rigs that take files')
    .addOption(
      new Option('--rig <rig>', 'what plays and records')
        .choices(['sound', 'simulated', 'folder'])
        .default('simulated'),
    )
    .option('--rig-name <name>', 'which rig, with --rig sound, where there is more than one')
    .option('--folder <path>', 'the folder that is watched for SERIAL-hard-SUPPLY-sweep.wav and -ladder.wav')
    .option('--yes', 'headphones are off and loudspeakers down: do not wait for a key before the first sound')
    .option('--seed <n>', 'draws other boards on the simulated rig', parseWhole({ least: 0, most: 2 ** 31 }))
    .option('--fault <kind:part>', 'fault of every simulated board, such as value:R1=100k', collectFault)
    .option('--product <id>', 'product of the reference board, where there is more than one')
    .option('--note <text>', 'a word about the reference board')
    .addHelpText(
      'after',
      `
A louder sweep and a ladder of levels at a few tones, at each voltage of the
battery that the test plan names: gain compression, harmonics by order with
their sign, clip points and output swing.

Exit codes: 0 pass, 1 fail, 3 repeat (too close to call, or a recording proves
nothing), 2 bad input, or the rig failed.

Examples:
  boardwright hard --reference --takes 3 --rig sound
  boardwright hard --unit PLV-0042 --rig sound
  boardwright hard --unit PLV-0042 --show --json

Caution: this is the loudest that the rig plays. Headphones off, loudspeakers
down.`,
    )
  attach(command, async () => (await import('../actions/hard.ts')).hard)
}
