import { gridFrequenciesHz } from './grid.ts'

const stepLog = Math.LN10 / 80

/**
 * Weight of the slope (nepers per unit of ln f) `i` steps away: the integral of ln coth(|u| / 2) over one step. Near 0 it
 * has a logarithmic peak, so the step is cut into small pieces around their middles.
 */
const makeWeights = (count: number): Float64Array =>
  Float64Array.from({ length: count }, (_, i) => {
    const pieces = 64
    let sum = 0
    for (let piece = 0; piece < pieces; piece++) {
      const u = (i + (piece + 0.5) / pieces) * stepLog
      sum += Math.log(1 / Math.tanh(u / 2))
    }
    return (sum * stepLog) / pieces
  })

let weights: Float64Array | null = null

/**
 * The phase (rad) that a minimum-phase system with this gain has, on the measuring grid. Outside the grid the gain is
 * taken as level.
 *
 * @param logGain natural logarithm of the gain, one value per grid point
 * Source: Bode's gain and phase relation, phase(u0) = 1/pi integral of dA/du ln coth(|u - u0| / 2) du, u = ln f (from
 * general knowledge; checked against closed forms in the tests).
 */
export const minimumPhase = (logGain: Float64Array): Float64Array => {
  const count = gridFrequenciesHz.length
  weights ??= makeWeights(count)
  const phase = new Float64Array(count)
  for (let segment = 0; segment + 1 < count; segment++) {
    const slope = (logGain[segment + 1] - logGain[segment]) / stepLog / Math.PI
    if (slope === 0) continue
    for (let i = 0; i < count; i++) {
      const away = i <= segment ? segment - i : i - segment - 1
      phase[i] = phase[i] + slope * weights[away]
    }
  }
  return phase
}
