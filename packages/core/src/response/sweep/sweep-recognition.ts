import { BoardwrightError } from '../../model/error.ts'
import type { SweepSettings } from '../../model/sweep.ts'
import type { WaveAudio } from '../wave/wave-format.ts'
import { fitExponentialSweep } from './fit-exponential-sweep.ts'
import { findSounds, type Sounds } from './sounds.ts'
import { spectralBand } from './spectral-band.ts'
import { makeSweep } from './sweep.ts'
import { parseSweepMetadata } from './sweep-metadata.ts'
import type { SampleSpan, SweepSignal } from './sweep-signal.ts'

/** The channel with the most energy: a sweep file may be stereo with one side empty. */
const loudestChannel = (audio: WaveAudio): Float64Array => {
  const energies = audio.channels.map((samples) => samples.reduce((sum, value) => sum + value * value, 0))
  return audio.channels[energies.indexOf(Math.max(...energies))]
}

/** The stimulus named by the file's own text, when the samples are indeed that stimulus in the file's resolution. */
const fromMetadata = (audio: WaveAudio, samples: Float64Array): SweepSignal | null => {
  const settings = parseSweepMetadata(audio.metadata)
  if (!settings || settings.rateHz !== audio.rateHz) return null
  const made = makeSweep(settings)
  if (made.samples.length !== samples.length) return null
  // One step of the file's resolution, or of single precision.
  const step = audio.sampleFormat.startsWith('pcm') ? 2 ** (1 - audio.bits) : 2 ** -23
  return made.samples.every((value, i) => Math.abs(value - samples[i]) <= 1.01 * step) ? { ...made, samples } : null
}

interface KnownShape {
  rateS: number | null
  fromHz: number
  toHz: number
  runInS: number
  runOutS: number
}

const shapeOf = (samples: Float64Array, body: SampleSpan, rateHz: number): KnownShape => {
  const fit = fitExponentialSweep({ samples, span: body, rateHz })
  if (fit) return fit
  return { rateS: null, ...spectralBand({ samples, span: body, rateHz }), runInS: 0, runOutS: 0 }
}

const settingsOf = (audio: WaveAudio, sounds: Sounds, shape: KnownShape, length: number): SweepSettings => {
  const { rateHz } = audio
  const body = sounds.bodies[0]
  const all = [...sounds.bodies, ...sounds.markers]
  const first = Math.min(...all.map((span) => span.startSample))
  const last = Math.max(...all.map((span) => span.endSample))
  return {
    rateHz,
    durationS: (body.endSample - body.startSample) / rateHz - shape.runInS - shape.runOutS,
    fromHz: shape.fromHz,
    toHz: shape.toHz,
    levelDbfs: Math.min(0, 20 * Math.log10(sounds.peak)),
    repeats: sounds.bodies.length,
    silenceBeforeS: first / rateHz,
    silenceAfterS: (length - last) / rateHz,
    markers: sounds.markers.length === 2,
  }
}

/**
 * Tells what stimulus a WAV file holds. A file written by Boardwright says so itself, and is believed when its samples
 * agree; any other is looked at: where its sweeps stand, and whether the phase of the first one follows an exponential.
 * Any other sound with energy in the band will do for the linear response, with `rateS` null: no distortion.
 *
 * @param audio the sweep file as read; the louder channel counts
 * @throws BoardwrightError `sweep-mismatch` when the file holds no sound that could be a stimulus
 */
export const recogniseSweep = (audio: WaveAudio): SweepSignal => {
  const refuse = (what: string) => new BoardwrightError('sweep-mismatch', `The sweep file ${what}.`)
  if (!audio.channels[0]?.length) throw refuse('holds no samples')
  const samples = loudestChannel(audio)
  const named = fromMetadata(audio, samples)
  if (named) return named
  const sounds = findSounds(samples, audio.rateHz)
  if (sounds.peak === 0) throw refuse('is silent')
  const body = sounds.bodies[0]
  if (!body) throw refuse('holds no sound longer than a tenth of a second')
  const shape = shapeOf(samples, body, audio.rateHz)
  if (!(shape.toHz > 1.5 * shape.fromHz)) throw refuse('holds a tone, not a sweep: its band is under half an octave')
  const settings = settingsOf(audio, sounds, shape, samples.length)
  const { rateS, runInS, runOutS } = shape
  return { settings, rateHz: audio.rateHz, samples, rateS, runInS, runOutS, ...pick(sounds) }
}

const pick = ({ bodies, markers }: Sounds) => ({ bodies, markers })
