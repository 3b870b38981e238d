import { gridFrequenciesHz } from './grid.ts'
import type { ResponsePlan } from './response-plan.ts'
import { varianceOf } from './variance.ts'

/**
 * Noise of the response per second of window width when the sweep is too short to read it from quiet lags: the variance
 * of the samples outside the stretch (the silences), taken as white and sent through the inverse filter.
 *
 * @returns mean |noise|^2 per second of window width, per grid point
 */
export const whiteNoise = (options: {
  plan: ResponsePlan
  samples: Float64Array
  fromSample: number
  toSample: number
}): Float64Array => {
  const { plan, samples, fromSample, toSample } = options
  const { bins, size, rateHz } = plan.filter
  const guard = Math.round(0.02 * rateHz)
  const before = varianceOf(samples, 0, fromSample - guard)
  const after = varianceOf(samples, toSample + guard, samples.length)
  const variance = Math.min(before ?? Number.POSITIVE_INFINITY, after ?? Number.POSITIVE_INFINITY)
  if (!Number.isFinite(variance)) return new Float64Array(gridFrequenciesHz.length)
  return Float64Array.from(gridFrequenciesHz, (frequencyHz) => {
    const k = Math.min(size / 2, Math.round((frequencyHz * size) / rateHz))
    return variance * rateHz * (bins[2 * k] ** 2 + bins[2 * k + 1] ** 2)
  })
}
