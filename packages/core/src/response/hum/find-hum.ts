import type { SweepSignal } from '../sweep/sweep-signal.ts'
import { fitAmplitude, type HumAmplitude } from './hum-amplitude.ts'
import { humErrorAt } from './hum-error.ts'
import { type BlockShape, blockShape, type HumLine, readHumLine } from './hum-line.ts'
import { type MainsPhase, steadyMains } from './mains-phase.ts'
import { refineMains } from './refine-mains.ts'
import { searchMains } from './search-mains.ts'
import { type SlowRecording, slowRecording } from './slow-recording.ts'

/** One component of mains hum. */
interface HumComponent {
  frequencyHz: number
  /** Amplitude, full scale = 1. */
  amplitude: number
  /** Root mean square error of its complex amplitude while the sweep passes its frequency, full scale = 1. */
  error: number
}

/** The hum of one mains in a recording. */
export interface Hum {
  mainsHz: 50 | 60
  components: HumComponent[]
  mains: MainsPhase
  amplitudes: HumAmplitude[]
}

/** Highest frequency at which hum is looked for, Hz. */
const highestHz = 1500
/** Mains shows in its first multiples, or is none. */
const leadingOrders = [1, 2, 3]
/** Fewest blocks that tell a line from noise. */
const fewestBlocks = 6
/**
 * Minus the logarithm of the probability of noise that looks like hum: for the first multiples, among which the mains was
 * searched for (more for each freedom of the search), and for the others.
 */
const leadingEvidence = 12
const evidencePerKnot = 1
const otherEvidence = 9
/** Under this nothing is hum: the sweep itself leaves as much in a line, full scale = 1, and of the loudest sample. */
const leastAmplitude = 1e-7
const leastShare = 2e-6

interface Listening {
  slow: SlowRecording
  sweep: SweepSignal
  offsetSamples: number
  shape: BlockShape
}

const readLines = (listening: Listening, mainsHz: number, orders: readonly number[]): HumLine[] =>
  orders.map((order) => readHumLine({ ...listening, order, mainsHz })).filter((line) => line.atS.length >= fewestBlocks)

/** How the mains would run if its nominal frequency were this one, and how much speaks for that. */
const tryMains = (listening: Listening, mainsHz: 50 | 60, durationS: number) => {
  const lines = readLines(listening, mainsHz, leadingOrders)
  const start = searchMains({ lines, start: steadyMains(durationS) })
  const { mains } = refineMains({ lines, start })
  const amplitudes = lines.map((line) => fitAmplitude(line, mains))
  const needed = leadingEvidence + evidencePerKnot * mains.deviationHz.length
  const evidence = amplitudes.reduce((most, one) => Math.max(most, one.evidence - needed), Number.NEGATIVE_INFINITY)
  const power = amplitudes.reduce((sum, { re, im }) => sum + re * re + im * im, 0)
  return { mainsHz, lines, mains, evidence, power }
}

/** A moment within the time in which the response at a frequency is read, for each sweep, s from the recording's start. */
const readingTimes = ({ sweep, offsetSamples }: Listening, frequencyHz: number): number[] =>
  sweep.bodies.map(({ startSample }) => {
    const passS = sweep.runInS + (sweep.rateS ?? 0) * Math.log(frequencyHz / sweep.settings.fromHz)
    return (startSample + offsetSamples) / sweep.rateHz + Math.max(0, passS) + Math.min(0.3, 10 / frequencyHz)
  })

const loudest = (samples: Float64Array): number => samples.reduce((most, v) => Math.max(most, v < 0 ? -v : v), 0)

/**
 * Finds the mains hum of a recording: multiples of 50 or of 60 Hz, phase and all, so that it can be taken out. It is read
 * wherever the sweep leaves its frequencies alone, so no silence is needed, and what it is while the sweep passes lies
 * between what was heard before and after.
 *
 * @param options.offsetSamples sample of the recording at which the stimulus begins, good to a few milliseconds
 * @returns null without hum, or when too little was recorded to tell
 */
export const findHum = (options: { samples: Float64Array; sweep: SweepSignal; offsetSamples: number }): Hum | null => {
  const { samples, sweep, offsetSamples } = options
  const durationS = samples.length / sweep.rateHz
  const slow = slowRecording({ samples, rateHz: sweep.rateHz })
  const listening = { slow, sweep, offsetSamples, shape: blockShape(sweep.rateS) }
  const least = Math.max(leastAmplitude, leastShare * loudest(slow.samples))
  const families = ([50, 60] as const).map((mainsHz) => tryMains(listening, mainsHz, durationS))
  const likely = families
    .filter((family) => family.evidence > 0 && family.power > least ** 2)
    .sort((a, b) => b.power - a.power)[0]
  if (!likely) return null
  const { mainsHz } = likely
  const others = Array.from({ length: Math.floor(highestHz / mainsHz) }, (_, i) => i + 1)
  const lines = [
    ...likely.lines,
    ...readLines(
      listening,
      mainsHz,
      others.filter((order) => !leadingOrders.includes(order)),
    ),
  ]
  const { mains, information } = refineMains({ lines, start: likely.mains })
  const amplitudes = lines
    .map((line) => fitAmplitude(line, mains))
    .filter((one) => one.evidence > otherEvidence && Math.hypot(one.re, one.im) > least)
  const components = amplitudes.map((amplitude) => {
    const { line, re, im } = amplitude
    const errors = readingTimes(listening, line.frequencyHz).map((atS) =>
      humErrorAt({ amplitude, mains, information, atS, stepS: listening.shape.stepS }),
    )
    return { frequencyHz: line.frequencyHz, amplitude: Math.hypot(re, im), error: Math.sqrt(Math.max(...errors)) }
  })
  return components.length > 0 ? { mainsHz, components, mains, amplitudes } : null
}

/** Root sum of squares of the components' amplitudes, full scale = 1. */
export const humAmplitude = (hum: Hum): number => Math.hypot(...hum.components.map((c) => c.amplitude))
