import type { Alignment } from '../recording/recording-view.ts'
import { fftSizeFrom, makeBins, realFft } from '../transform/fft.ts'
import { energyAround, slowDown } from './slow-signal.ts'
import type { SweepSignal } from './sweep-signal.ts'

/** Where the sweep is looked for, and at about which rate. */
interface SearchBand {
  rateHz: number
  fromHz: number
}

/**
 * A sweep is found as surely at a low rate as at the full one, in a fraction of the time. Bass is left out where it can be:
 * hum and rumble stand there.
 */
const lowBand: SearchBand = { rateHz: 3000, fromHz: 200 }
/** A board that lets only treble through is found here, at the full rate. */
const highBand: SearchBand = { rateHz: Number.POSITIVE_INFINITY, fromHz: 1500 }
/** Under this score the sweep is looked for in the high band too. */
const enoughScore = 0.15
/** The impulse's energy is summed over this much to either side, to find it and to weigh it, s. */
const peakReachS = 0.003
const impulseReachS = 0.02
/** A repeat counts as found when its impulse has this part of the strongest one's energy. */
const foundPart = 0.1

/** The body of a stimulus, made ready for searching recordings of one length. */
interface SearchPlan {
  band: SearchBand
  size: number
  factor: number
  /** S* / (|S|^2 + e) within the band of the search, interleaved. */
  filter: Float64Array
}

const searchPlans = new WeakMap<SweepSignal, SearchPlan[]>()

const makeSearchFilter = (options: {
  sweep: SweepSignal
  slowBody: Float64Array
  size: number
  rateHz: number
  lowestHz: number
}): Float64Array => {
  const { sweep, slowBody, size, rateHz, lowestHz } = options
  const bins = makeBins(size)
  realFft(size).forward(slowBody, bins)
  const binHz = rateHz / size
  const toHz = Math.min(sweep.settings.toHz, 0.4 * rateHz)
  const fromHz = Math.max(sweep.settings.fromHz, Math.min(lowestHz, toHz / 4))
  const power = (k: number) => bins[2 * k] ** 2 + bins[2 * k + 1] ** 2
  let most = 0
  for (let k = Math.ceil(fromHz / binHz); k * binHz < toHz; k++) most = Math.max(most, power(k))
  for (let k = 0; k <= size / 2; k++) {
    const f = k * binHz
    const part = f <= fromHz || f >= toHz ? 0 : Math.sin((Math.PI * Math.log(f / fromHz)) / Math.log(toHz / fromHz))
    const scale = (part * part) / (power(k) + 1e-3 * most)
    bins[2 * k] = bins[2 * k] * scale
    bins[2 * k + 1] = -bins[2 * k + 1] * scale
  }
  return bins
}

const searchPlan = (sweep: SweepSignal, recordingLength: number, band: SearchBand): SearchPlan => {
  const body = sweep.bodies[0]
  const wantedHz = Math.min(sweep.rateHz, Math.max(band.rateHz, 16 * sweep.settings.fromHz))
  const factor = 2 ** Math.floor(Math.log2(sweep.rateHz / wantedHz))
  const size = fftSizeFrom(Math.ceil((recordingLength + body.endSample - body.startSample) / factor) + 2)
  const plans = searchPlans.get(sweep) ?? []
  const known = plans.find((plan) => plan.band === band && plan.size === size)
  if (known) return known
  const slowBody = slowDown(sweep.samples.subarray(body.startSample, body.endSample), factor)
  const rateHz = sweep.rateHz / factor
  const filter = makeSearchFilter({ sweep, slowBody, size, rateHz, lowestHz: band.fromHz })
  const plan = { band, size, factor, filter }
  // One plan a band: recordings of one sweep have one length, or nearly.
  searchPlans.set(sweep, [...plans.filter((other) => other.band !== band), plan])
  return plan
}

/** Response of the recording against one body at the search rate; lags run round. */
const respondSlowly = (plan: SearchPlan, recording: Float64Array): Float64Array => {
  const { size, factor, filter } = plan
  const bins = makeBins(size)
  realFft(size).forward(slowDown(recording, factor), bins)
  for (let k = 0; k < size + 2; k += 2) {
    const re = bins[k]
    const im = bins[k + 1]
    bins[k] = re * filter[k] - im * filter[k + 1]
    bins[k + 1] = re * filter[k + 1] + im * filter[k]
  }
  const response = new Float64Array(size)
  realFft(size).inverse(bins, response)
  return response
}

/** The lag at which the energies of all repeats together are greatest. */
const bestLag = (options: { energy: Float64Array; starts: number[]; firstLag: number; lastLag: number }) => {
  const { energy, starts, firstLag, lastLag } = options
  const size = energy.length
  const at = (lag: number) => (lag < firstLag || lag >= lastLag ? 0 : energy[lag < 0 ? lag + size : lag])
  let best = 0
  let most = -1
  for (let lag = firstLag - starts.at(-1)!; lag < lastLag; lag++) {
    let sum = 0
    for (const start of starts) sum += at(lag + start)
    if (sum > most) {
      most = sum
      best = lag
    }
  }
  return best
}

/**
 * Finds the stimulus in a recording, wherever it starts; it may have begun before the recording did. The place is good to
 * a millisecond; the measurement sharpens it.
 *
 * @param options.recording samples of one channel, full scale = 1
 * @returns null for a recording without any sound
 */
export const findSweep = (options: { sweep: SweepSignal; recording: Float64Array }): Alignment | null => {
  const low = searchIn({ ...options, band: lowBand })
  if (low === null || low.score >= enoughScore || options.sweep.settings.toHz < 4 * highBand.fromHz) return low
  const high = searchIn({ ...options, band: highBand })
  return high !== null && high.score > low.score ? high : low
}

const searchIn = (options: { sweep: SweepSignal; recording: Float64Array; band: SearchBand }): Alignment | null => {
  const { sweep, recording, band } = options
  const body = sweep.bodies[0]
  const plan = searchPlan(sweep, recording.length, band)
  const rateHz = sweep.rateHz / plan.factor
  const response = respondSlowly(plan, recording)
  let total = 0
  for (const value of response) total += value * value
  if (!(total > 0)) return null
  const starts = sweep.bodies.map((span) => Math.round((span.startSample - body.startSample) / plan.factor))
  const lastLag = Math.ceil(recording.length / plan.factor)
  const firstLag = -Math.ceil((body.endSample - body.startSample) / plan.factor)
  const energy = energyAround(response, Math.round(peakReachS * rateHz))
  const best = bestLag({ energy, starts, firstLag, lastLag })
  const reach = Math.round(impulseReachS * rateHz)
  const found = starts.map((start) => {
    let sum = 0
    for (let lag = best + start - reach; lag <= best + start + reach; lag++) {
      if (lag >= firstLag && lag < lastLag) sum += response[lag < 0 ? lag + response.length : lag] ** 2
    }
    return sum
  })
  const strongest = Math.max(...found)
  return {
    offsetSamples: best * plan.factor - body.startSample,
    score: Math.min(1, found.reduce((sum, value) => sum + value, 0) / total),
    bodiesFound: found.filter((value) => value > foundPart * strongest).length,
  }
}
