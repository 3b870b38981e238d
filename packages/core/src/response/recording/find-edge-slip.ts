import { leastSquares } from '../../statistics/least-squares.ts'
import type { SweepPhase } from '../sweep/sweep-blocks.ts'
import { findEdge } from './find-edge.ts'

/** Above this frequency a lost block turns the phase so far that the phases tell it, Hz. */
const highestHz = 100
/** Cycles on each side of a break that are looked at. */
const cycles = 2.5
/** About so many samples of a cycle are enough. */
const perCycle = 120
/** Least turn of the phase, rad, and least certainty of it. */
const leastJumpRad = 0.03
const sureFactor = 6
/** Programs lose blocks of 64 samples or more; this leaves room for error. */
const leastSamples = 32
/** Share by which the break and the step of the sweep that explains it may differ. */
const likeness = 0.25

/**
 * Looks for a slip at the low end of the sweep, where a lost block hardly turns the phase: the wave is broken there at one
 * sample. It counts only when the sweep, followed on both sides, steps by just as much at this place: a click that
 * something else made does not turn the sweep.
 *
 * @param options.bodyStart sample of the recording at which the sweep's body begins
 * @returns samples lost (negative: added) and where, or null
 */
export const findEdgeSlip = (options: {
  phase: SweepPhase
  samples: Float64Array
  bodyStart: number
  rateHz: number
}): { lostSamples: number; atSample: number } | null => {
  const { phase, samples, bodyStart, rateHz } = options
  const first = phase.blocks[0]
  const last = phase.blocks.findLast((block) => block.frequencyHz < highestHz)
  if (!first || !last) return null
  const edge = findEdge({ samples, from: bodyStart + first.startSample, to: bodyStart + last.endSample })
  if (!edge) return null
  const at = edge.atSample - bodyStart
  const frequencyHz = phase.blocks.find((block) => block.endSample > at)?.frequencyHz ?? last.frequencyHz
  const step = sweepStep({ phase, samples, bodyStart, at, reach: Math.round((cycles / frequencyHz) * rateHz) })
  if (!step) return null
  const isSure = Math.abs(step.jumpRad) > Math.max(leastJumpRad, sureFactor * step.jumpUncertaintyRad)
  if (!isSure || Math.abs(step.height - edge.height) > likeness * Math.abs(edge.height)) return null
  const lostSamples = (step.jumpRad / (2 * Math.PI * frequencyHz)) * rateHz
  return Math.abs(lostSamples) < leastSamples ? null : { lostSamples, atSample: edge.atSample }
}

/**
 * How the sweep steps at a sample: a sine and a cosine of its phase whose amplitudes bend slowly, its second and third
 * harmonic, an offset, and a step of sine and cosine at this place, by least squares.
 */
const sweepStep = (options: {
  phase: SweepPhase
  samples: Float64Array
  bodyStart: number
  at: number
  reach: number
}) => {
  const { phase, samples, bodyStart, at, reach } = options
  const { sine, cosine } = phase
  const from = Math.max(0, at - reach, -bodyStart)
  const to = Math.min(sine.length, at + reach, samples.length - bodyStart)
  const stride = Math.max(1, Math.round((2 * reach) / (2 * cycles * perCycle)))
  const count = Math.floor((to - from) / stride)
  if (at - from < reach / 2 || to - at < reach / 2) return null
  const column = (of: (i: number, t: number) => number) =>
    Float64Array.from({ length: count }, (_, k) => {
      const i = from + k * stride
      return of(i, (i - at + 0.5) / reach)
    })
  const columns = [
    ...[0, 1, 2, 3].flatMap((power) => [
      column((i, t) => t ** power * sine[i]),
      column((i, t) => t ** power * cosine[i]),
    ]),
    column((i) => 2 * sine[i] * cosine[i]),
    column((i) => cosine[i] ** 2 - sine[i] ** 2),
    column((i) => sine[i] * (3 - 4 * sine[i] ** 2)),
    column((i) => cosine[i] * (4 * cosine[i] ** 2 - 3)),
    column(() => 1),
    column((_, t) => t),
    column((i) => (i >= at ? sine[i] : 0)),
    column((i) => (i >= at ? cosine[i] : 0)),
  ]
  const response = Float64Array.from({ length: count }, (_, k) => samples[bodyStart + from + k * stride])
  const { coefficients, residuals, variances } = leastSquares({ response, columns })
  const scatter = Math.sqrt(residuals.reduce((sum, r) => sum + r * r, 0) / (count - columns.length))
  const [a, b] = coefficients
  const stepSine = coefficients[columns.length - 2]
  const stepCosine = coefficients[columns.length - 1]
  const power = a * a + b * b
  const before = Math.atan2(b, a)
  const behind = Math.atan2(b + stepCosine, a + stepSine)
  const jump = behind - before
  return {
    height: stepSine * sine[at] + stepCosine * cosine[at],
    jumpRad: jump - 2 * Math.PI * Math.round(jump / (2 * Math.PI)),
    jumpUncertaintyRad: (scatter * Math.sqrt(Math.max(...variances.slice(-2)))) / Math.sqrt(power),
  }
}
