import type { CloudSetting, ToleranceCloud } from './tolerance-cloud.ts'

/** Spread of healthy boards at one setting, as deviations from the circuit as designed, dB over the grid. */
export type CloudSummary = {
  setting: string
  meanDb: Float64Array
  deviationDb: Float64Array
  /** One curve per probability asked for. */
  quantilesDb: { probability: number; curveDb: Float64Array }[]
}

/** @param probabilities quantiles wanted (2.5 %, 50 %, 97.5 %) */
export const summariseCloud = (
  cloud: ToleranceCloud,
  probabilities: readonly number[] = [0.025, 0.5, 0.975],
): CloudSummary[] => cloud.settings.map((setting) => summarise(cloud, setting, probabilities))

const summarise = (cloud: ToleranceCloud, { setting, deviationDb }: CloudSetting, probabilities: readonly number[]) => {
  const n = cloud.frequencyHz.length
  const meanDb = columnMeans(deviationDb, n)
  const spread = new Float64Array(n)
  const quantilesDb = probabilities.map((probability) => ({ probability, curveDb: new Float64Array(n) }))
  const column = new Float64Array(cloud.boards)
  for (let i = 0; i < n; i++) {
    for (let b = 0; b < cloud.boards; b++) {
      column[b] = deviationDb[b * n + i]
      spread[i] += (column[b] - meanDb[i]) ** 2
    }
    spread[i] = Math.sqrt(spread[i] / Math.max(1, cloud.boards - 1))
    column.sort()
    for (const { probability, curveDb } of quantilesDb) curveDb[i] = quantileOfSorted(column, probability)
  }
  return { setting, meanDb, deviationDb: spread, quantilesDb }
}

/** Mean over boards of rows of n numbers. */
export const columnMeans = (rows: Float64Array, n: number): Float64Array => {
  const mean = new Float64Array(n)
  for (let k = 0; k < rows.length; k++) mean[k % n] += rows[k]
  return mean.map((x) => (x * n) / rows.length)
}

/** Linear interpolation between order statistics. Source: definition 7 of Hyndman and Fan, Am. Stat. 50 (1996). */
export const quantileOfSorted = (sorted: Float64Array, probability: number): number => {
  const place = Math.min(1, Math.max(0, probability)) * (sorted.length - 1)
  const below = Math.floor(place)
  const above = Math.min(sorted.length - 1, below + 1)
  return sorted[below] + (place - below) * (sorted[above] - sorted[below])
}

/**
 * Covariance over all settings and frequencies together, dB², of the deviations laid one setting after the other.
 *
 * @returns mean (length m) and covariance (m rows of m) with m = settings × grid points
 */
export const jointCovariance = (
  cloud: ToleranceCloud,
): { size: number; mean: Float64Array; covariance: Float64Array } => {
  const n = cloud.frequencyHz.length
  const size = n * cloud.settings.length
  const mean = new Float64Array(size)
  cloud.settings.forEach(({ deviationDb }, s) => {
    mean.set(columnMeans(deviationDb, n), s * n)
  })
  const covariance = new Float64Array(size * size)
  // Boards in the inner loop of a product of two rows would jump through memory: columns are gathered first.
  const columns = Array.from({ length: size }, (_, k) => {
    const { deviationDb } = cloud.settings[Math.floor(k / n)]
    const i = k % n
    return Float64Array.from({ length: cloud.boards }, (_, b) => deviationDb[b * n + i] - mean[k])
  })
  for (let j = 0; j < size; j++)
    for (let k = 0; k <= j; k++) {
      const sum = dot(columns[j], columns[k]) / Math.max(1, cloud.boards - 1)
      covariance[j * size + k] = sum
      covariance[k * size + j] = sum
    }
  return { size, mean, covariance }
}

/** Four running sums let the processor work on four products at a time. */
const dot = (a: Float64Array, b: Float64Array): number => {
  let [s0, s1, s2, s3] = [0, 0, 0, 0]
  let i = 0
  for (; i + 3 < a.length; i += 4) {
    s0 += a[i] * b[i]
    s1 += a[i + 1] * b[i + 1]
    s2 += a[i + 2] * b[i + 2]
    s3 += a[i + 3] * b[i + 3]
  }
  for (; i < a.length; i++) s0 += a[i] * b[i]
  return s0 + s1 + s2 + s3
}
