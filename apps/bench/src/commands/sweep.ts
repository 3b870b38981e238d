import { Option } from 'commander'
import { parseNumber, parseWhole } from '../parse-option.ts'
import type { Declare } from './declare.ts'

export const declareSweep: Declare = (program, attach) => {
  const command = program
    .command('sweep')
    .summary('write the stimulus as a WAV file that any player can play')
    .description('Writes the sweep to play through the board. Without options it is the stimulus of the test plan.')
    .requiredOption('--out <file>', 'WAV file to write')
    .option('--product <id>', 'take the defaults from the test plan of this product')
    .option('--rate <hz>', 'sample rate, such as 48000', parseNumber)
    .option('--seconds <s>', 'length of one sweep', parseNumber)
    .option('--from <hz>', 'lowest frequency', parseNumber)
    .option('--to <hz>', 'highest frequency', parseNumber)
    .option('--level <dbfs>', 'peak level, dB below full scale, such as -12', parseNumber)
    .option('--repeats <n>', 'sweeps in a row: from two on their spread is known', parseWhole({ least: 1, most: 16 }))
    .addOption(
      new Option('--format <format>', 'how samples are stored')
        .choices(['pcm16', 'pcm24', 'pcm32', 'float32'])
        .default('pcm24'),
    )
    .addHelpText(
      'after',
      `
Examples:
  boardwright sweep --out sweep.wav
  boardwright sweep --out quiet.wav --level -30 --seconds 10 --repeats 2

Caution: a sweep can be loud and holds high tones. Take headphones off and turn
loudspeakers down.`,
    )
  attach(command, async () => (await import('../actions/sweep.ts')).sweep)
}
