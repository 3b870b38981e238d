import type { SampleSpan } from '../sweep/sweep-signal.ts'
import { slowestHz } from './recording-spans.ts'
import type { RecordingView } from './recording-view.ts'
import { heightOf } from './wave-height.ts'

/** A run of equal samples that no wave can make. */
export interface FrozenRun {
  startSample: number
  length: number
  value: number
}

/** Shortest run that counts. Source: shared AUDIO.md: clean takes have runs of 4 at most, but at low frequencies. */
const shortestRun = 16
/** Noise makes a run of equal samples with a probability of less than e to minus this: damage. */
const leastEvidence = 20
/** A rest is entered and left by a few steps more than the wave moves beside it, damage by a jump. */
const gentleSteps = 4
/**
 * A wave that stays within one step for some time, at a turning point, moves by 8 steps more in as much time again: a
 * parabola. Flattened tops, and a wave that a hum holds for a moment, move more, to the fourth or fifth power. The other way
 * about, a stretch of less than 8 steps is silence.
 */
const restingSteps = 160
const quietSteps = 8
/** The surroundings that tell how high the wave is there, s. */
const aroundS = 0.004
/** Nearer to the local extreme than this, a short run is a cut top: the clipping check's business. */
const topShare = 0.97
/** Samples beside a run that tell how fast the wave moves there. */
const flank = 4

interface FrozenOptions {
  view: RecordingView
  span: SampleSpan
  /** The step of the samples, full scale = 1. */
  step: number
  /** How unlikely each equal sample is; see `evidencePerSample`. */
  evidence: number
}

/**
 * Finds a run of equal samples within a sound: zeros, or the last value held, instead of the wave. Where there is noise,
 * no such run happens by chance; where there is none, a wave may rest on one step of its resolution, and then leaves it
 * as slowly as it came.
 */
export function findFrozenRun(options: FrozenOptions): FrozenRun | null {
  const { view, span } = options
  const { samples } = view
  let start = span.startSample
  for (let i = span.startSample + 1; i <= span.endSample; i++) {
    if (i < span.endSample && samples[i] === samples[start]) continue
    const run = { startSample: start, length: i - start, value: samples[start] }
    if (run.length >= shortestRun && !isNatural(options, run)) return run
    start = i
  }
  return null
}

function isNatural(options: FrozenOptions, run: FrozenRun): boolean {
  const { view, span, step, evidence } = options
  const { samples, sweep } = view
  const end = run.startSample + run.length
  const jump = Math.max(jumpAt(samples, run.startSample - 1, -1), jumpAt(samples, end, 1))
  const cycle = sweep.rateHz / slowestHz(view, run.startSample)
  if (jump <= 0 && run.length < 0.5 * cycle + flank && isAtTop(options, run, cycle)) return true
  if ((run.length - 1) * evidence >= leastEvidence) return false
  if (jump > gentleSteps * step) return false
  const movement = (from: number, to: number) => {
    const { high, low } = heightOf(samples, Math.max(span.startSample, from), Math.min(span.endSample, to))
    return (high - low) / step
  }
  const before = movement(run.startSample - run.length, run.startSample)
  const behind = movement(end, end + run.length)
  // Silence on one side is the beginning or the end of the sound, or a stop-band.
  return Math.min(before, behind) < quietSteps || Math.max(before, behind) < restingSteps
}

/** Whether a run lies at the extreme of the wave, a cycle (or a few milliseconds) to both sides. */
function isAtTop({ view, span }: FrozenOptions, run: FrozenRun, cycle: number): boolean {
  const reach = Math.round(Math.max(aroundS * view.sweep.rateHz, cycle))
  const from = Math.max(span.startSample, run.startSample - reach)
  const { high, low } = heightOf(view.samples, from, Math.min(span.endSample, run.startSample + run.length + reach))
  return Math.abs(run.value - 0.5 * (high + low)) > 0.5 * topShare * (high - low)
}

/** By how much more the samples jump into a run than they move beside it; `edge` is the first one outside. */
function jumpAt(samples: Float64Array, edge: number, side: -1 | 1): number {
  let steepest = 0
  for (let k = 1; k < flank; k++) {
    const i = edge + side * k
    if (i < 0 || i >= samples.length) return 0
    steepest = Math.max(steepest, Math.abs(samples[i] - samples[i - side]))
  }
  return Math.abs(samples[edge] - samples[edge - side]) - steepest
}
