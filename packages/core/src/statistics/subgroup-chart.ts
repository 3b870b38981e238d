import { BoardwrightError } from '../model/error.ts'
import { chartConstants } from './chart-constants.ts'
import { requireValues } from './check-argument.ts'
import type { ControlLimits } from './control-limits.ts'
import { mean, summarise } from './mean-and-deviation.ts'

/** Control chart of the means of subgroups and of their spread. */
export interface SubgroupChart {
  subgroupSize: number
  means: Float64Array
  meanLimits: ControlLimits
  /** Range or standard deviation of each subgroup. */
  spreads: Float64Array
  spreadLimits: ControlLimits
  /** Standard deviation within the process. */
  standardDeviation: number
}

function sizeOf(subgroups: readonly ArrayLike<number>[]): number {
  const size = subgroups[0]?.length ?? 0
  for (const [i, subgroup] of subgroups.entries()) requireValues(`Subgroup ${i + 1}`, subgroup, 2)
  if (size < 2 || subgroups.some((subgroup) => subgroup.length !== size)) {
    throw new BoardwrightError('bad-argument', 'A chart needs subgroups of one size, each of 2 or more values.')
  }
  return size
}

const around = (centre: number, reach: number): ControlLimits => ({
  centre,
  lower: centre - reach,
  upper: centre + reach,
})

const meansOf = (subgroups: readonly ArrayLike<number>[]): Float64Array => Float64Array.from(subgroups, mean)

/**
 * X-bar and R chart: means with limits from the mean range.
 * Source: NIST/SEMATECH e-Handbook 6.3.2.1 (A2, D3, D4). Throws `bad-argument` when the sizes differ.
 */
export function meanRangeChart(subgroups: readonly ArrayLike<number>[]): SubgroupChart {
  const subgroupSize = sizeOf(subgroups)
  const { d2, A2, D3, D4 } = chartConstants(subgroupSize)
  const means = meansOf(subgroups)
  const spreads = Float64Array.from(subgroups, (s) => Math.max(...Array.from(s)) - Math.min(...Array.from(s)))
  const centre = mean(spreads)
  return {
    subgroupSize,
    means,
    meanLimits: around(mean(means), A2 * centre),
    spreads,
    spreadLimits: { centre, lower: D3 * centre, upper: D4 * centre },
    standardDeviation: centre / d2,
  }
}

/**
 * X-bar and S chart: means with limits from the mean standard deviation.
 * Source: NIST/SEMATECH e-Handbook 6.3.2.1 (A3, B3, B4). Throws `bad-argument` when the sizes differ.
 */
export function meanDeviationChart(subgroups: readonly ArrayLike<number>[]): SubgroupChart {
  const subgroupSize = sizeOf(subgroups)
  const { c4, A3, B3, B4 } = chartConstants(subgroupSize)
  const means = meansOf(subgroups)
  const spreads = Float64Array.from(subgroups, (s) => summarise(s).standardDeviation)
  const centre = mean(spreads)
  return {
    subgroupSize,
    means,
    meanLimits: around(mean(means), A3 * centre),
    spreads,
    spreadLimits: { centre, lower: B3 * centre, upper: B4 * centre },
    standardDeviation: centre / c4,
  }
}
