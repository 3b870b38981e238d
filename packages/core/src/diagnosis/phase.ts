import type { Prediction } from './predict.ts'

const turn = 2 * Math.PI

const wrapped = (angle: number): number => angle - turn * Math.round(angle / turn)

/** Takes out of a curve's phase the whole turns by which a point lies off the one before, in place. */
export const unwrap = (phase: Float64Array): void => {
  for (let i = 1; i < phase.length; i++) phase[i] = phase[i - 1] + wrapped(phase[i] - phase[i - 1])
}

/** Weight of a point by its uncertainty, rad; no point counts much more than another. */
const weightOf = (sigma: number): number => 1 / (sigma * sigma + 0.01)

/**
 * Measured less predicted phase, rad. A phase is only known but for whole turns, and for half turns too, since the rig does not
 * know its own polarity: the polarity that leaves the smaller differences over the whole band is taken. Each point is wrapped by
 * itself: where a board's notch passes the origin on the other side than foretold, one side of it must not lie a turn off.
 */
export const phaseDifference = (
  phase: Float64Array,
  sigma: Float64Array,
  { re, im }: Prediction,
  into: Float64Array = new Float64Array(phase.length),
): Float64Array => {
  let upright = 0
  let reversed = 0
  for (let k = 0; k < phase.length; k++) {
    const d = wrapped(phase[k] - Math.atan2(im[k], re[k]))
    const other = Math.PI - Math.abs(d)
    const weight = weightOf(sigma[k])
    into[k] = d
    upright += weight * d * d
    reversed += weight * other * other
  }
  if (reversed < upright) for (let k = 0; k < phase.length; k++) into[k] += into[k] > 0 ? -Math.PI : Math.PI
  return into
}

/**
 * The pure delay by which a measured phase lags a prediction, s: the median of the slopes from point to point, weighted by
 * their width. A line through all points would take the jump of a displaced notch for a delay; the median does not see it.
 * Right while the phase turns by less than half a turn from one point to the next.
 */
export const delayBetween = (
  omega: Float64Array,
  phase: Float64Array,
  sigma: Float64Array,
  { re, im }: Prediction,
): number => {
  const slopes: { slope: number; weight: number }[] = []
  let total = 0
  for (let k = 1; k < omega.length; k++) {
    const here = phase[k] - Math.atan2(im[k], re[k])
    const before = phase[k - 1] - Math.atan2(im[k - 1], re[k - 1])
    const width = omega[k] - omega[k - 1]
    const weight = width * Math.min(weightOf(sigma[k]), weightOf(sigma[k - 1]))
    slopes.push({ slope: wrapped(here - before) / width, weight })
    total += weight
  }
  slopes.sort((a, b) => a.slope - b.slope)
  let sum = 0
  const middle = slopes.find(({ weight }) => {
    sum += weight
    return sum >= total / 2
  })
  return middle ? -middle.slope : 0
}
