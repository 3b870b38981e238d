import { BoardwrightError } from '../model/error.ts'
import { type CapabilityIndices, type CapabilityInput, capabilityIndices } from './capability-indices.ts'
import { requireCount, requireValues } from './check-argument.ts'
import { individualsChart } from './individuals-chart.ts'
import { summarise } from './mean-and-deviation.ts'
import { movingRangeDegreesOfFreedom, rangeDegreesOfFreedom } from './range-degrees.ts'
import { meanRangeChart } from './subgroup-chart.ts'

/** Capability with the short-term spread (Cp, Cpk, Cpm) and with the whole spread (Pp, Ppk, Ppm). */
export interface CapabilityStudy {
  within: CapabilityIndices & { standardDeviation: number }
  overall: CapabilityIndices & { standardDeviation: number }
}

/**
 * Capability of values in the order they were made.
 * Short-term spread: mean range over d2 within subgroups, or mean moving range over d2 for single values; its degrees of
 * freedom are the equivalent ones of the range. Source: NIST/SEMATECH e-Handbook 6.1.6; ISO 22514-2 for the two spreads.
 * @param options.subgroupSize 1 for single values; otherwise the values are cut into subgroups of this size
 * Throws `bad-argument`.
 */
export function capabilityStudy(
  options: { values: ArrayLike<number>; subgroupSize: number } & Pick<
    CapabilityInput,
    'lowerLimit' | 'upperLimit' | 'target' | 'confidence'
  >,
): CapabilityStudy {
  const { values, subgroupSize, ...limits } = options
  requireCount('The subgroup size', subgroupSize, 1)
  requireValues('The values', values, 2)
  const whole = summarise(values)
  const short = shortTermSpread(values, subgroupSize)
  const indices = (spread: { standardDeviation: number; degreesOfFreedom: number }) => ({
    ...capabilityIndices({ ...limits, ...spread, mean: whole.mean, count: whole.count }),
    standardDeviation: spread.standardDeviation,
  })
  return {
    within: indices(short),
    overall: indices({ standardDeviation: whole.standardDeviation, degreesOfFreedom: whole.count - 1 }),
  }
}

function shortTermSpread(
  values: ArrayLike<number>,
  subgroupSize: number,
): { standardDeviation: number; degreesOfFreedom: number } {
  if (subgroupSize === 1) {
    const { standardDeviation } = individualsChart(values)
    return { standardDeviation, degreesOfFreedom: movingRangeDegreesOfFreedom(values.length) }
  }
  const subgroups = values.length / subgroupSize
  if (!Number.isInteger(subgroups)) {
    throw new BoardwrightError(
      'bad-argument',
      `${values.length} values do not make whole subgroups of ${subgroupSize}.`,
    )
  }
  const all = Float64Array.from(values)
  const cut = Array.from({ length: subgroups }, (_, i) => all.subarray(i * subgroupSize, (i + 1) * subgroupSize))
  const { standardDeviation } = meanRangeChart(cut)
  return { standardDeviation, degreesOfFreedom: rangeDegreesOfFreedom({ subgroupSize, subgroups }) }
}
