import { correlate } from '../sweep/correlate.ts'
import type { HardLadder } from './hard-ladder.ts'

/** Share of the energies that must be common for the ladder to count as found. */
const leastShare = 0.2

/**
 * Finds the ladder in a recording, to a few milliseconds: tones turned by the board move the maximum by less than a period.
 * The quiet half of the ladder counts as much as the loud one.
 *
 * @returns sample of the recording at which the ladder's first sample arrives; null when it is not in there
 */
export function findLadder(options: { ladder: HardLadder; samples: Float64Array }): { offsetSamples: number } | null {
  const { ladder, samples } = options
  const pad = ladder.samples.length >> 1
  // Room in front, so that a recording that was begun late is found too, and said to be cut off.
  const where = new Float64Array(samples.length + 2 * pad)
  where.set(samples, pad)
  const product = correlate(ladder.samples, where)
  let best = 0
  for (let lag = 0; lag < where.length; lag++) if (Math.abs(product[lag]) > Math.abs(product[best])) best = lag
  const energy = (of: Float64Array) => of.reduce((sum, v) => sum + v * v, 0)
  const common = Math.abs(product[best]) / Math.sqrt(energy(ladder.samples) * energy(samples))
  return common >= leastShare ? { offsetSamples: best - pad } : null
}
