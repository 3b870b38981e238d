import { Option } from 'commander'
import { parseNumber } from '../parse-option.ts'
import type { Declare } from './declare.ts'

export const declareMeasure: Declare = (program, attach) => {
  const command = program
    .command('measure')
    .summary('response of a board from the sweep file and its recording')
    .description(
      'Measures one recording against the sweep that was played; nothing is stored. Gain is relative to the samples of the sweep file.',
    )
    .requiredOption('--sweep <file>', 'WAV file that was played')
    .requiredOption('--recording <file>', 'WAV file that came back')
    .option('--csv [file]', 'write the curve as CSV (RFC 4180) to the file, or to standard output')
    .option('--through <file>', 'recording of the rig with a wire in place of the board, taken out of the result')
    .option('--uncertainty <db>', 'refuse a recording whose curve is less certain than this', parseNumber)
    .addOption(new Option('--channel <side>', 'channel with the board’s answer').choices(['left', 'right']))
    .addOption(new Option('--loop-back <side>', 'channel with the stimulus looped back').choices(['left', 'right']))
    .addHelpText(
      'after',
      `
Exit codes: 0 usable, 3 not usable (the findings say why),
2 a file cannot be read.

Examples:
  boardwright measure --sweep sweep.wav --recording board.wav
  boardwright measure --sweep sweep.wav --recording board.wav --json > b.json
  boardwright measure --sweep sweep.wav --recording board.wav --csv board.csv \\
    --through wire.wav`,
    )
  attach(command, async () => (await import('../actions/measure.ts')).measure)
}
