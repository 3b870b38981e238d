import type { Distortion } from '../../model/response-curve.ts'
import type { BodyResponse } from './body-response.ts'
import { powerOfGrid } from './complex-grid.ts'
import { gridFrequenciesHz } from './grid.ts'
import { harmonicOrders } from './response-plan.ts'

const stepLog = Math.LN10 / 80

/** Mean over the repeats of one order's power and noise power, per grid point. */
const meanHarmonic = (bodies: readonly BodyResponse[], order: number) => {
  const all = bodies.map((body) => body.harmonics.get(order)!)
  const mean = (pick: (one: (typeof all)[number]) => Float64Array) =>
    pick(all[0]).map((_, i) => all.reduce((sum, one) => sum + pick(one)[i], 0) / all.length)
  return { power: mean((one) => one.power), noisePower: mean((one) => one.noisePower) }
}

/** Value between grid points: a cubic through the four nearest (Catmull-Rom), over the logarithm of frequency. */
export const between = (values: Float64Array, frequencyHz: number): number => {
  const at = Math.log(frequencyHz / gridFrequenciesHz[0]) / stepLog
  const i = Math.min(values.length - 2, Math.max(0, Math.floor(at)))
  const t = at - i
  const b = values[i]
  const c = values[i + 1]
  const a = values[i - 1] ?? b
  const d = values[i + 2] ?? c
  return b + 0.5 * t * (c - a + t * (2 * a - 5 * b + 4 * c - d + t * (3 * (b - c) + d - a)))
}

/**
 * Harmonic distortion over the frequency of the fundamental: levels of harmonics 2 to 5 relative to the fundamental, and
 * their root-sum-square as THD. The noise behind each harmonic is subtracted; a harmonic under the noise reads the noise.
 * An order is null where its frequency lies beyond the sweep's band or the grid.
 *
 * @param bodies the measured repeats; their powers are averaged
 * @returns null when the stimulus was no exponential sweep
 * Source: Farina, AES preprint 5093 (2000): harmonic k stands L ln k before the linear response.
 */
export const measureDistortion = (
  bodies: readonly BodyResponse[],
  band: { fromHz: number; toHz: number },
): Distortion | null => {
  const first = bodies[0]
  if (!first || first.harmonics.size === 0) return null
  const fundamental = powerOfGrid(first.response)
  const endHz = Math.min(band.toHz, gridFrequenciesHz.at(-1)!) * 1.0001
  const points = [...gridFrequenciesHz.keys()].filter(
    (i) => gridFrequenciesHz[i] >= band.fromHz * 0.9975 && 2 * gridFrequenciesHz[i] <= endHz,
  )
  if (points.length === 0) return null
  const sums = new Float64Array(gridFrequenciesHz.length)
  const orders: Distortion['orders'] = {}
  for (const order of harmonicOrders) {
    const { power, noisePower } = meanHarmonic(bodies, order)
    const net = power.map((p, i) => Math.max(p - noisePower[i], noisePower[i], Number.MIN_VALUE))
    const logNet = net.map((p) => 10 * Math.log10(p))
    orders[order] = points.map((i) => {
      const harmonicHz = order * gridFrequenciesHz[i]
      if (harmonicHz > endHz) return null
      const levelDb = between(logNet, harmonicHz)
      const aboveNoise = between(power, harmonicHz) > 2 * between(noisePower, harmonicHz)
      if (aboveNoise) sums[i] = sums[i] + 10 ** (levelDb / 10)
      return levelDb - 10 * Math.log10(fundamental[i])
    })
  }
  return {
    frequencyHz: points.map((i) => gridFrequenciesHz[i]),
    thdPercent: points.map((i) => 100 * Math.sqrt(sums[i] / fundamental[i])),
    orders,
  }
}
