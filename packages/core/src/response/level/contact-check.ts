import type { ContactTone } from './contact-tone.ts'
import { type ToneLevel, toneLevels } from './tone-levels.ts'

/** What a contact check can find. `unclear`: the board answers, but like none of the known states. */
export type ContactKind = 'ok' | 'unpowered' | 'open-pin' | 'short' | 'dead-chip' | 'unclear'

/** One state of board and rig, and how it would answer. */
export interface ContactState {
  kind: Exclude<ContactKind, 'unclear'>
  /** What it is, to stand in a sentence: "the pin at out does not touch". */
  words: string
  /** Gain from what is played to what is recorded, dB, at each tone. */
  gainDb: readonly number[]
  /** How far a board in this state may lie from that (k = 1), dB. */
  spreadDb: number
  /** How common it is beside the others; decides only between states that answer alike. */
  weight: number
}

export interface ContactCheck {
  kind: ContactKind
  /** One sentence, with everything that answers alike. */
  message: string
  remedy: string
  /** What would answer like this, the most probable first; empty when unclear. */
  candidates: { kind: ContactKind; words: string; probability: number }[]
  /** What was measured; the noise is what the recording would read there without the tone. */
  tones: { frequencyHz: number; gainDb: number; noiseDb: number }[]
}

/** A level of noise alone has this standard deviation, dB: 5.57 for one bin's power. Source: 10/ln 10 · π/√6. */
const noiseSpreadDb = 5.57
/** Beyond this many standard deviations at one tone the best state does not explain the answer. */
const worstDeviations = 3.5
/** Whatever is less probable than this is not told. */
const toldProbability = 0.1

const remedies: Record<ContactKind, string> = {
  ok: '',
  unpowered:
    'Check the battery, its voltage, its pins and the switch; if anything gets warm, take the battery off first.',
  'open-pin': 'Press the board down, clean the pin and the pad, and look whether the pin is bent.',
  short: 'Take the battery off, look for solder bridges and bent pins, then measure the resistance to ground.',
  'dead-chip': 'Measure the supply at the pins of the chip, then look at its solder joints and which way round it is.',
  unclear: 'Look at the position of the knobs and the board in the rig; the sweep and the diagnosis will tell more.',
}

/**
 * Decides from a recording of the contact tone whether board and rig are in contact: the levels at the tones are compared
 * with those that each known state would give. States that would answer alike are told together.
 *
 * @param options.recording samples of the response channel, full scale = 1, at the tone's rate
 * @param options.states with the sound board among them, from the circuit twin or from the reference
 */
export const checkContact = (options: {
  tone: ContactTone
  recording: Float64Array
  states: readonly ContactState[]
}): ContactCheck => {
  const { tone, recording, states } = options
  const { rateHz, frequencyHz } = tone
  const found = toneLevels({ samples: recording, rateHz, frequencyHz })
  const levels = found?.tones ?? []
  const tones = levels.map(({ frequencyHz: f, amplitude, noiseAmplitude }) => ({
    frequencyHz: f,
    gainDb: decibels(amplitude / tone.amplitude),
    noiseDb: decibels(noiseAmplitude / tone.amplitude),
  }))
  const fits = found ? states.map((state) => fitOf(state, levels, tone.amplitude)) : []
  const best = fits.reduce<Fit | null>((a, b) => (a && a.logLikelihood >= b.logLikelihood ? a : b), null)
  if (!best || best.worst > worstDeviations) return unclear(tones)
  const candidates = probable(fits)
  const [first] = candidates
  const message =
    first.kind === 'ok' ? 'The board answers as it should.' : `${sentence(candidates.map((c) => c.words))}.`
  return { kind: first.kind, message, remedy: remedies[first.kind], candidates, tones }
}

interface Fit {
  state: ContactState
  logLikelihood: number
  /** Largest deviation at a tone, in standard deviations. */
  worst: number
}

const decibels = (ratio: number): number => 20 * Math.log10(Math.max(ratio, 1e-12))

/** How well a state explains the levels. What lies under the noise is compared with the noise. */
function fitOf(state: ContactState, levels: readonly ToneLevel[], playedAmplitude: number): Fit {
  let logLikelihood = Math.log(state.weight)
  let worst = 0
  levels.forEach(({ amplitude, noiseAmplitude }, i) => {
    const noisePower = Math.max(noiseAmplitude, 1e-9) ** 2
    const power = (playedAmplitude * 10 ** (state.gainDb[i] / 20)) ** 2 + noisePower
    // Noise can cancel a tone to nothing, which says no more than that nothing stands out of it.
    const differenceDb = 10 * Math.log10(Math.max(amplitude ** 2, noisePower) / power)
    const spread = Math.hypot(state.spreadDb, noiseSpreadDb * Math.sqrt(noisePower / power))
    logLikelihood -= 0.5 * (differenceDb / spread) ** 2 + Math.log(spread)
    worst = Math.max(worst, Math.abs(differenceDb) / spread)
  })
  return { state, logLikelihood, worst }
}

/** The probable states; a kind that is probable in several ways counts with all of them. */
function probable(fits: readonly Fit[]): ContactCheck['candidates'] {
  const most = Math.max(...fits.map((fit) => fit.logLikelihood))
  const shares = fits.map((fit) => Math.exp(fit.logLikelihood - most))
  const sum = shares.reduce((a, b) => a + b, 0)
  const byKind = new Map<ContactKind, number>()
  fits.forEach(({ state }, i) => {
    byKind.set(state.kind, (byKind.get(state.kind) ?? 0) + shares[i] / sum)
  })
  const seen = new Set<string>()
  return fits
    .map(({ state }, i) => ({ kind: state.kind, words: state.words, probability: shares[i] / sum }))
    .sort((a, b) => byKind.get(b.kind)! - byKind.get(a.kind)! || b.probability - a.probability)
    .filter(({ words, probability }, i) => {
      const isNew = !seen.has(words)
      seen.add(words)
      return isNew && (i === 0 || probability >= toldProbability)
    })
}

const sentence = (words: readonly string[]): string => {
  const all = words.join(', or ')
  return all[0].toUpperCase() + all.slice(1)
}

function unclear(tones: ContactCheck['tones']): ContactCheck {
  const told = tones.map((t) => `${t.gainDb.toFixed(0)} dB at ${t.frequencyHz} Hz`).join(', ')
  const message =
    told === ''
      ? 'The recording is too short for a contact check.'
      : `The board answers, but not as it should: ${told}.`
  return { kind: 'unclear', message, remedy: remedies.unclear, candidates: [], tones }
}
