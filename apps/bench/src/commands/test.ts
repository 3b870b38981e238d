import { Option } from 'commander'
import { collectSettingFile } from '../parse-option.ts'
import type { Declare } from './declare.ts'

export const declareTest: Declare = (program, attach) => {
  const command = program
    .command('test')
    .summary('judge the recordings of a unit and store the verdict under its serial number')
    .requiredOption('--unit <serial>', 'serial number as on the label')
    .requiredOption('--setting <name=file>', 'recording at a setting of the test plan, one each', collectSettingFile)
    .option('--sweep <file>', 'WAV file that was played; without it, the stimulus of the test plan')
    .option('--product <id>', 'product of a unit not seen before, where there is more than one')
    .addOption(new Option('--loop-back <side>', 'channel with the stimulus looped back').choices(['left', 'right']))
    .addHelpText(
      'after',
      `
Exit codes: 0 pass, 1 fail, 3 repeat (too close to call, or a recording proves nothing), 2 bad input.

Examples:
  boardwright test --unit PLV-0042 --setting max=max.wav --setting min=min.wav
  boardwright test --unit PLV-0042 --setting max=max.wav --setting min=min.wav --sweep sweep.wav --json`,
    )
  attach(command, async () => (await import('../actions/test.ts')).test)
}
