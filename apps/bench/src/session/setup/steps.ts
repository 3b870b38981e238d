import { BoardwrightError, makeSweep, type Product, type RigSettings } from '@boardwright/core'
import type { RigDriver, RigProgress } from '@boardwright/core/audio'
import type { DataLevel, Workshop } from '@boardwright/core/workshop'
import { stimulusOf } from '../stimulus.ts'
import { type HeardTone, hearSilence, hearTone, levelToneHz, needSettings } from './listen.ts'

/** Everything the steps of a set-up work on; bench and command line go through the same ones. */
export interface SetUp {
  workshop: Workshop
  rig: RigDriver
  product: Product
  signal?: AbortSignal
}

/** How long the tone stands for somebody to read a voltmeter, s. */
export const readingTimeS = 10
const toneS = 1
/** Long enough to tell 50 from 60 Hz, s. */
const silenceS = 4

const listening = ({ rig, signal }: SetUp) => ({ rig, settings: needSettings(rig), signal })

/** Plays the tone that a voltmeter reads at the plug, with the output plugged into the input. */
export const playLevelTone = (setUp: SetUp, durationS = readingTimeS): Promise<HeardTone> =>
  hearTone(listening(setUp), { durationS })

/** Levels from what the voltmeter said to a tone that was heard. Errors: bad-argument, no-rig. */
export function keepReading(
  { workshop, rig }: SetUp,
  what: { heard: HeardTone; readingV: number; reading: 'rms' | 'peak' | 'peak-to-peak' },
): RigSettings {
  const { playedDbfs, recordedDbfs } = what.heard
  const { readingV, reading } = what
  const from = { kind: 'voltmeter', playedDbfs, recordedDbfs, frequencyHz: levelToneHz, readingV, reading } as const
  return workshop.rig.calibrateLevels({ name: needSettings(rig).name, from })
}

/** Levels from the interface's data. Errors: bad-argument, no-rig. */
export const keepData = ({ workshop, rig }: SetUp, output: DataLevel, input: DataLevel): RigSettings =>
  workshop.rig.calibrateLevels({ name: needSettings(rig).name, from: { kind: 'data', output, input } })

/** Sweeps through a wire and keeps the correction. Errors: recording-refused, no-rig; those of the rig. */
export async function measureCorrection(
  setUp: SetUp,
  onProgress?: (progress: RigProgress) => void,
): Promise<RigSettings> {
  const { workshop, rig, product, signal } = setUp
  const { name, maxLevelDbfs } = needSettings(rig)
  const planned = stimulusOf(product, rig.settings)
  // A correction is the same at every level, so a low limit is no reason to do without.
  const isTooLoud = planned.settings.levelDbfs > maxLevelDbfs
  const sweep = isTooLoud ? makeSweep({ ...planned.settings, levelDbfs: maxLevelDbfs }) : planned
  const { audio } = await rig.run({ serial: 'LOOP-BACK', setting: 'loop-back', sweep, signal, onProgress })
  signal?.throwIfAborted()
  return workshop.rig.storeCorrection({ name, sweep, recording: audio })
}

/** Noise and room above the loudest tone, with the output plugged into the input. */
export async function measureNoise(setUp: SetUp): Promise<RigSettings> {
  const { name, rateHz } = needSettings(setUp.rig)
  const silence = await hearSilence(listening(setUp), { durationS: toneS })
  const { samples: tone } = await hearTone(listening(setUp), { durationS: toneS })
  setUp.signal?.throwIfAborted()
  return setUp.workshop.rig.storeInputNoise({ name, silence, tone, rateHz })
}

/** Hum of the mains in the input. */
export async function measureHum(setUp: SetUp): Promise<RigSettings> {
  const { name, rateHz } = needSettings(setUp.rig)
  const silence = await hearSilence(listening(setUp), { durationS: silenceS })
  setUp.signal?.throwIfAborted()
  return setUp.workshop.rig.storeHum({ name, silence, rateHz })
}

/** How the known resistor stands, in the order in which the three levels are measured. */
export const resistorPlaces = [
  { key: 'straight', words: 'Plug the output straight into the input, without the resistor.' },
  { key: 'inSeries', words: 'Put the resistor between output and input.' },
  { key: 'toGround', words: 'Plug output into input again, and put the resistor from that plug to ground.' },
] as const
export type ResistorLevels = Partial<Record<(typeof resistorPlaces)[number]['key'], number>>

/** The level at one place of the resistor. */
export async function measureDrop(setUp: SetUp): Promise<number> {
  const { recordedDbfs } = await hearTone(listening(setUp), { durationS: toneS })
  return 10 ** (recordedDbfs / 20)
}

/** Source and load resistance, once all three levels are there. Errors: bad-argument, no-rig. */
export function keepResistances({ workshop, rig }: SetUp, resistorOhm: number, levels: ResistorLevels): RigSettings {
  const { straight, inSeries, toGround } = levels
  if (straight === undefined || inSeries === undefined || toGround === undefined)
    throw new BoardwrightError('bad-argument', 'Not all three levels were measured yet.')
  const { name } = needSettings(rig)
  return workshop.rig.storeResistances({ name, resistorOhm, straight, inSeries, toGround })
}
