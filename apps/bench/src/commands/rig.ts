import { type Command, InvalidArgumentError, Option } from 'commander'
import { parseNumber, parsePositive, parseWhole } from '../parse-option.ts'
import { readOhm } from '../session/setup/typed-level.ts'
import type { Attach, Declare } from './declare.ts'

const families = ['pipewire', 'pulseaudio', 'alsa', 'sox']
const caution = `
Caution: this plays a test signal. Headphones off, loudspeakers down. Keep to
the rules of your own workshop.`

const nameOption = ['--name <name>', 'which rig, where there is more than one'] as const
const yesOption = ['--yes', 'headphones are off: do not wait for a key before the first sound'] as const
const channel = parseWhole({ least: 1, most: 64 })

/** A resistance: 4700, 4.7k or 4k7. */
function parseOhm(text: string): number {
  const ohm = readOhm(text)
  if (ohm === undefined) throw new InvalidArgumentError('Write a resistance such as 4700, 4.7k or 4k7.')
  return ohm
}

/** `off`, or a channel from 1. */
const parseLoopBack = (text: string): number | 'off' => (text === 'off' ? 'off' : channel(text))

function declareSettings(rig: Command, attach: Attach) {
  const devices = rig
    .command('devices')
    .summary('list the outputs and inputs of this computer: channels, rate, format')
    .addOption(new Option('--family <family>', 'the programs that play and record').choices(families))
  attach(devices, async () => (await import('../actions/rig-devices.ts')).rigDevices)

  const set = rig
    .command('set')
    .summary('choose devices, channels, rate and limits; each change is a new version')
    .option('--output <device>', 'what plays, as rig devices names it')
    .option('--output-channel <n>', 'channel to the board, from 1', channel)
    .option('--input <device>', 'what records')
    .option('--input-channel <n>', 'channel from the board, from 1', channel)
    .option('--loop-back-channel <n>', 'input channel with the output looped back, or off', parseLoopBack)
    .option('--rate <hz>', 'sample rate; the devices must run at it', parseWhole({ least: 44_100, most: 192_000 }))
    .option('--bits <n>', 'refuse a device with fewer bits', parseWhole({ least: 16, most: 32 }))
    .option('--limit <dbfs>', 'nothing is ever played above this level, such as -12', parseNumber)
    .option('--source <ohm>', 'resistance that drives the board, such as 100', parseOhm)
    .option('--load <ohm>', 'resistance that loads the board, such as 10k', parseOhm)
    .addOption(new Option('--settings <way>', 'who moves a board between settings').choices(['by-hand', 'by-rig']))
    .addOption(new Option('--family <family>', 'the programs that play and record').choices(families))
    .option('--unplugged', 'do not look whether the devices are there')
    .option(...nameOption)
    .addHelpText(
      'after',
      `
Another device, channel or rate drops what was measured through the old one:
levels, correction, noise and hum.

Examples:
  boardwright rig set --output usb_out --input usb_in --input-channel 2
  boardwright rig set --limit -18 --source 100 --load 10k`,
    )
  attach(set, async () => (await import('../actions/rig-set.ts')).rigSet)

  const show = rig
    .command('show')
    .summary('the settings in force, and what is still to be done')
    .option('--versions', 'all versions, newest first')
    .option(...nameOption)
  attach(show, async () => (await import('../actions/rig-show.ts')).rigShow)
}

/** Levels in volts, and what drives and loads the board. */
function declareLevels(rig: Command, attach: Attach) {
  const calibrate = rig
    .command('calibrate')
    .summary('levels in volts: by a voltmeter at the plug, or by the data of the interface')
    .option('--reading <volts>', 'what the voltmeter shows; without it you are asked while a tone plays', parsePositive)
    .addOption(
      new Option('--as <kind>', 'how the reading is meant').choices(['rms', 'peak', 'peak-to-peak']).default('rms'),
    )
    .option('--data-output <level>', 'largest output level by data, such as "+4 dBu", "6 dBV" or "2 V"')
    .option('--data-input <level>', 'largest input level by data')
    .option(...yesOption)
    .option(...nameOption)
    .addHelpText(
      'after',
      `
By voltmeter: plug the output into the input by a cable with a tap, or by two
clips, and put the meter (AC volts) there; a 200 Hz tone plays for ten seconds.

Examples:
  boardwright rig calibrate
  boardwright rig calibrate --data-output "+10 dBu" --data-input "+10 dBu"
${caution}`,
    )
  attach(calibrate, async () => (await import('../actions/rig-calibrate.ts')).rigCalibrate)

  const resistance = rig
    .command('resistance')
    .summary('source and load resistance of the rig, by a known resistor')
    .requiredOption('--resistor <ohm>', 'a resistor whose value you know, 1k to 47k', parseOhm)
    .option(...yesOption)
    .option(...nameOption)
    .addHelpText('after', caution)
  attach(resistance, async () => (await import('../actions/rig-measure.ts')).rigResistance)
}

/** What the rig finds out about itself, and about the board in it. */
function declareMeasuring(rig: Command, attach: Attach) {
  const loopBack = rig
    .command('loop-back')
    .summary('measure the rig itself through a cable, and take it out of every curve from then on')
    .option(...yesOption)
    .option(...nameOption)
    .addHelpText(
      'after',
      `
Plug the output into the input in place of the board. Measure the reference
board again afterwards: it is compared with the correction or without, not
half and half.
${caution}`,
    )
  attach(loopBack, async () => (await import('../actions/rig-measure.ts')).rigLoopBack)

  const noise = rig
    .command('noise')
    .summary('noise, overload and mains hum of the input, with the output plugged into it')
    .option(...yesOption)
    .option(...nameOption)
    .addHelpText('after', caution)
  attach(noise, async () => (await import('../actions/rig-measure.ts')).rigNoise)

  const contact = rig
    .command('contact')
    .summary('listen whether a board in the rig has contact: power, pins, shorts, chips')
    .option('--setting <name>', 'where its knobs stand; the first of the test plan')
    .option('--product <id>', 'product, where there is more than one')
    .option(...yesOption)
    .option(...nameOption)
    .addHelpText('after', '\nExit codes: 0 it has contact, 3 it has not; 2 the rig failed.')
  attach(contact, async () => (await import('../actions/rig-contact.ts')).rigContact)
}

export const declareRig: Declare = (program, attach) => {
  const rig = program.command('rig').summary('set up your own rig with a sound interface, and look at it')
  declareSettings(rig, attach)
  declareLevels(rig, attach)
  declareMeasuring(rig, attach)
}
