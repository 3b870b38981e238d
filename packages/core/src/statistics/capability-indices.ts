import { BoardwrightError } from '../model/error.ts'
import { requireFinite, requirePositive } from './check-argument.ts'
import { chiSquareQuantile } from './chi-square.ts'
import { type Interval, outsideProbability } from './interval.ts'
import { normalProbability, normalQuantile } from './normal.ts'

/** A capability index with its two-sided limits. */
export interface IndexInterval extends Interval {
  estimate: number
}

/** Capability of a process against its limits; an index that the limits given do not allow is left out. */
export interface CapabilityIndices {
  /** Tolerance over six standard deviations. */
  cp?: IndexInterval
  /** Distance of the mean to the lower / upper limit over three standard deviations. */
  cpl?: number
  cpu?: number
  /** The smaller of both. */
  cpk: IndexInterval
  /** Like cp, with the distance of the mean from the target counted as spread. */
  cpm?: IndexInterval
  /** Distance of the mean from the middle of the tolerance, over half the tolerance. */
  offCentre?: number
  /** Share outside the limits of a normal process with this mean and spread. */
  outside: number
}

/** What a process does and what it should do; all in one unit. */
export interface CapabilityInput {
  mean: number
  standardDeviation: number
  /** Values behind the mean. */
  count: number
  /** Of the standard deviation; count - 1 for the sample standard deviation. */
  degreesOfFreedom: number
  lowerLimit?: number
  upperLimit?: number
  target?: number
  confidence: number
}

/** An index proportional to 1 / s: its limits follow from those of the standard deviation (chi-square). */
function scaleInterval(estimate: number, degreesOfFreedom: number, confidence: number): IndexInterval {
  const { lower, upper } = outsideProbability({ confidence })
  const factor = (probability: number, tail: 'lower' | 'upper'): number =>
    Math.sqrt(chiSquareQuantile({ probability, degreesOfFreedom, tail }) / degreesOfFreedom)
  return { estimate, lower: estimate * factor(lower, 'lower'), upper: estimate * factor(upper, 'upper') }
}

/**
 * Capability indices with confidence limits, for a normal process.
 * Sources: NIST/SEMATECH e-Handbook 6.1.6 (indices; chi-square limits of Cp); Bissell, Applied Statistics 39 (1990)
 * 331-340 (Cpk: normal approximation with variance 1 / 9n + Cpk^2 / 2 nu); Boyles, J. Qual. Technol. 23 (1991) 17-26
 * (Cpm: chi-square with n (1 + x^2)^2 / (1 + 2 x^2) degrees of freedom, x = (mean - target) / s).
 * Throws `bad-argument` without a limit, with limits in the wrong order, or without spread.
 */
export function capabilityIndices(input: CapabilityInput): CapabilityIndices {
  check(input)
  const { mean, standardDeviation: s, count, degreesOfFreedom, lowerLimit, upperLimit, target, confidence } = input
  const cpl = lowerLimit === undefined ? undefined : (mean - lowerLimit) / (3 * s)
  const cpu = upperLimit === undefined ? undefined : (upperLimit - mean) / (3 * s)
  const worst = Math.min(cpl ?? Number.POSITIVE_INFINITY, cpu ?? Number.POSITIVE_INFINITY)
  const z = normalQuantile({ probability: outsideProbability({ confidence }).upper, tail: 'upper' })
  const reach = z * Math.sqrt(1 / (9 * count) + worst ** 2 / (2 * degreesOfFreedom))
  const result: CapabilityIndices = {
    cpk: { estimate: worst, lower: worst - reach, upper: worst + reach },
    outside: tailBeyond(cpl) + tailBeyond(cpu),
  }
  if (cpl !== undefined) result.cpl = cpl
  if (cpu !== undefined) result.cpu = cpu
  if (lowerLimit === undefined || upperLimit === undefined) return result
  const half = (upperLimit - lowerLimit) / 2
  result.cp = scaleInterval(half / (3 * s), degreesOfFreedom, confidence)
  result.offCentre = Math.abs((lowerLimit + upperLimit) / 2 - mean) / half
  if (target !== undefined) {
    const x = (mean - target) / s
    const equivalent = (count * (1 + x * x) ** 2) / (1 + 2 * x * x)
    result.cpm = scaleInterval(half / (3 * Math.hypot(s, mean - target)), equivalent, confidence)
  }
  return result
}

const tailBeyond = (index: number | undefined): number =>
  index === undefined ? 0 : normalProbability({ z: 3 * index, tail: 'upper' })

function check(input: CapabilityInput): void {
  requireFinite('The mean', input.mean)
  requirePositive('The standard deviation', input.standardDeviation)
  requirePositive('The count', input.count)
  requirePositive('The degrees of freedom', input.degreesOfFreedom)
  const { lowerLimit, upperLimit } = input
  if (lowerLimit === undefined && upperLimit === undefined) {
    throw new BoardwrightError('bad-argument', 'Capability needs a lower or an upper limit.')
  }
  if (lowerLimit !== undefined && upperLimit !== undefined && !(lowerLimit < upperLimit)) {
    throw new BoardwrightError('bad-argument', 'The lower limit must lie below the upper limit.')
  }
}
