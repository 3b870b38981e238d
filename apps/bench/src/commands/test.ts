import { Option } from 'commander'
import { collectFault, collectSettingFile, parseNumber, parseWhole } from '../parse-option.ts'
import type { Declare } from './declare.ts'

export const declareTest: Declare = (program, attach) => {
  const command = program
    .command('test')
    .summary('judge the recordings of a unit and store the verdict under its serial number')
    .option('--unit <serial>', 'serial number as on the label')
    .option('--next', 'the unit that waits longest for its test')
    .option('--setting <name=file>', 'recording at a setting of the test plan, one each', collectSettingFile)
    .addOption(
      new Option('--rig <rig>', 'have a rig play and record instead of giving files').choices([
        'sound',
        'simulated',
        'folder',
      ]),
    )
    .option('--rig-name <name>', 'which rig, with --rig sound, where there is more than one')
    .option('--yes', 'headphones are off and loudspeakers down: do not wait for a key before the first sound')
    .option('--despite-contact', 'measure also when the contact check is against it; the journal keeps that')
    .option('--folder <path>', 'the folder that --rig folder watches for SERIAL-SETTING.wav')
    .option('--seed <n>', 'draws other boards on the simulated rig', parseWhole({ least: 0, most: 2 ** 31 }))
    .option('--fault <kind:part>', 'fault of every simulated board, such as open:C8 or pin-open:battery', collectFault)
    .option('--drift <db>', 'how far the level of the simulated rig has gone, such as 0.4', parseNumber)
    .option('--drift-treble <db>', 'how far its treble has gone, such as -0.8', parseNumber)
    .option('--sweep <file>', 'WAV file that was played; without it, the stimulus of the test plan')
    .option('--product <id>', 'product of a unit not seen before, where there is more than one')
    .addOption(new Option('--loop-back <side>', 'channel with the stimulus looped back').choices(['left', 'right']))
    .addHelpText(
      'after',
      `
Exit codes: 0 pass, 1 fail, 3 repeat (too close to call, a recording proves
nothing, or the board has no contact), 2 bad input, or the rig failed.

Examples:
  boardwright test --unit PLV-0042 --setting max=max.wav --setting min=min.wav
  boardwright test --unit PLV-0042 --sweep sweep.wav --json \\
    --setting max=max.wav --setting min=min.wav
  boardwright test --next --rig sound
  boardwright test --next --rig simulated

Caution: a rig plays loud test signals. Headphones off, loudspeakers down.`,
    )
  attach(command, async () => (await import('../actions/test.ts')).test)
}
