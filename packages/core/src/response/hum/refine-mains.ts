import { solveSymmetric } from '../transform/solve-symmetric.ts'
import { fitAmplitude, type HumAmplitude } from './hum-amplitude.ts'
import { blockNoiseShare, type HumLine } from './hum-line.ts'
import { type MainsPhase, phaseGradient } from './mains-phase.ts'

/** What is expected of the mains before anything is heard: deviation, and its change from knot to knot, Hz. */
const usualDeviationHz = 0.2
const usualChangeHz = 0.03

/** Lines this certain tell how the mains runs. */
const tellingEvidence = 9

/** Information of the blocks about the deviations at the knots, and how they want them changed. */
const gatherInformation = (amplitudes: readonly HumAmplitude[], mains: MainsPhase) => {
  const size = mains.deviationHz.length
  const matrix = priorOf(size)
  const wanted = new Float64Array(size)
  for (let j = 0; j < size; j++) for (let k = 0; k < size; k++) wanted[j] -= matrix[j * size + k] * mains.deviationHz[k]
  for (const { line, re, im, weight, restRe, restIm, blockNoise } of amplitudes) {
    const power = re * re + im * im
    const sureness = (2 * power) / (blockNoise * blockNoiseShare + 1e-9 * power)
    const gradients = Array.from(line.atS, (atS) => phaseGradient(mains, atS))
    const total = weight.reduce((a, b) => a + b, 0)
    const mean = new Float64Array(size)
    gradients.forEach((g, m) => {
      for (let j = 0; j < size; j++) mean[j] += (weight[m] * g[j]) / total
    })
    gradients.forEach((g, m) => {
      const error = (restIm[m] * re - restRe[m] * im) / power
      const share = sureness * weight[m] * line.order
      for (let j = 0; j < size; j++) {
        const slope = g[j] - mean[j]
        wanted[j] += share * slope * error
        for (let k = 0; k < size; k++) matrix[j * size + k] += share * line.order * slope * (g[k] - mean[k])
      }
    })
  }
  return { matrix, wanted }
}

const priorOf = (size: number): Float64Array => {
  const matrix = new Float64Array(size * size)
  for (let j = 0; j < size; j++) matrix[j * size + j] += 1 / usualDeviationHz ** 2 / size
  for (let j = 0; j + 1 < size; j++) {
    const stiffness = 1 / usualChangeHz ** 2
    matrix[j * size + j] += stiffness
    matrix[(j + 1) * size + j + 1] += stiffness
    matrix[j * size + j + 1] -= stiffness
    matrix[(j + 1) * size + j] -= stiffness
  }
  return matrix
}

/**
 * Sharpens how the mains runs by the phases of all lines that stand clear of the noise: low lines first, for high ones
 * turn so fast that a small error loses a whole turn.
 * @returns the mains, and the information matrix of its deviations (inverse covariance, 1/Hz^2)
 * Source: Gauss and Newton's method with a prior; separable amplitudes (Golub and Pereyra 1973).
 */
export const refineMains = (options: { lines: readonly HumLine[]; start: MainsPhase }) => {
  const { lines } = options
  let mains = options.start
  let information = priorOf(mains.deviationHz.length)
  for (const highestOrder of [3, 3, 3, 8, 8, 20, Number.POSITIVE_INFINITY, Number.POSITIVE_INFINITY]) {
    const usable = lines.filter((line) => line.order <= highestOrder).map((line) => fitAmplitude(line, mains))
    const telling = usable.filter((one) => one.evidence > tellingEvidence)
    if (telling.length === 0) continue
    const { matrix, wanted } = gatherInformation(telling, mains)
    const change = solveSymmetric(matrix, wanted)
    const { knotS, deviationHz } = mains
    mains = { knotS, deviationHz: deviationHz.map((value, j) => value + change[j]) }
    information = matrix
  }
  return { mains, information }
}
