import type { DriftChart, DriftSeries } from '../../model/drift-chart.ts'
import { formatDb } from '../../model/format.ts'
import type { RigCheckSummary } from '../../model/rig-check.ts'
import { ewmaChart } from '../../statistics/ewma-chart.ts'
import { individualsChart } from '../../statistics/individuals-chart.ts'
import { fitLinear } from '../../statistics/linear-regression.ts'
import { currentReference } from '../current-reference.ts'
import { findProduct } from '../find-product.ts'
import type { VerbContext } from '../verb-context.ts'
import type { WhichRig } from './rig-checks.ts'

/** Checks that control limits are made of: fewer tell too little of a rig, more would take a slow drift for its habit. */
const baseline = { least: 8, most: 20 }
/** Weight and half width of the average. Source: Lucas and Saccucci, Technometrics 32 (1990): 0.2 with 2.96, about 3. */
const average = { weight: 0.2, width: 3 }
/** A drift is worth a word only beyond this share of the rig limit: a very steady rig shows changes that hurt nobody. */
const worthTelling = 0.2
/** The last checks that a pace is read from. */
const paceOver = 8

/** Drift of a rig since the reference in force was made, from the checks that decided something. Errors: not-found. */
export function driftChart(context: VerbContext, which: WhichRig): DriftChart {
  const product = findProduct(context, which.productId)
  const reference = currentReference(context, product)
  const { limitDb, levelLimitDb } = product.testPlan.rigCheck
  const kept = context.store.rigChecks
    .list({ productId: product.id, rig: which.rig, limit: -1 })
    .filter((check) => check.referenceVersion === reference?.version)
    .flatMap((check) => (isDecided(check) ? [check] : []))
    .reverse()
  return {
    checks: kept.map(({ id, at, outcome }) => ({ id, at, outcome })),
    level: driftSeries({ quantity: 'level', checks: kept, rigLimitDb: levelLimitDb }),
    shape: driftSeries({ quantity: 'shape', checks: kept, rigLimitDb: limitDb }),
  }
}

type Decided = RigCheckSummary & { outcome: 'good' | 'drifted'; levelDb: number; shapeDb: number }
const isDecided = (check: RigCheckSummary): check is Decided =>
  check.outcome !== 'repeat' && check.levelDb !== null && check.shapeDb !== null

/**
 * Individuals and EWMA chart of one quantity, with limits from the rig's own first good checks (8 to 20 of them).
 * Sources: NIST/SEMATECH e-Handbook 6.3.2.2 and 6.3.2.4.
 */
export function driftSeries(options: {
  quantity: DriftSeries['quantity']
  checks: readonly { outcome: 'good' | 'drifted'; levelDb: number; shapeDb: number }[]
  rigLimitDb: number
}): DriftSeries {
  const { quantity, checks, rigLimitDb } = options
  const read = (check: (typeof checks)[number]) => (quantity === 'level' ? check.levelDb : check.shapeDb)
  const valuesDb = checks.map(read)
  const steady = checks
    .filter(({ outcome }) => outcome === 'good')
    .slice(0, baseline.most)
    .map(read)
  const none: DriftSeries = { quantity, valuesDb, averageDb: [], rigLimitDb, control: null, beyond: [], warning: null }
  if (steady.length < baseline.least) return none
  const { values: limits, standardDeviation } = individualsChart(steady)
  // Readings that never differ have no limits of their own.
  if (!(standardDeviation > 0)) return none
  const { centre } = limits
  const ewma = ewmaChart({ values: valuesDb, centre, standardDeviation, startingLimits: true, ...average })
  const alone = valuesDb.flatMap((value, i) => (value > limits.upper || value < limits.lower ? [i] : []))
  const beyond = [...new Set([...alone, ...ewma.beyond])].sort((a, b) => a - b)
  const averageDb = Array.from(ewma.averages)
  const control = {
    centreDb: centre,
    lowerDb: limits.lower,
    upperDb: limits.upper,
    averageLowerDb: ewma.limits.lower,
    averageUpperDb: ewma.limits.upper,
    checks: steady.length,
  }
  const warning = driftWarning({ ...none, averageDb, control, beyond })
  return { ...none, averageDb, control, beyond, warning }
}

/** Says that the average walks towards a limit, and when it would be there at its present pace. */
function driftWarning({ quantity, valuesDb, averageDb, rigLimitDb, control, beyond }: DriftSeries): string | null {
  const last = valuesDb.length - 1
  const now = averageDb[last]
  if (!control || !beyond.includes(last) || Math.abs(now) < worthTelling * rigLimitDb) return null
  if (Math.abs(valuesDb[last]) > rigLimitDb) return null
  const subject = quantity === 'level' ? 'The level of the rig' : 'The response of the rig'
  const size = formatDb(now, { digits: 2, signed: quantity === 'level' })
  const head = `${subject} drifts: ${size} on average, limit ${formatDb(rigLimitDb, { digits: 2 })}`
  const pace = paceOf(valuesDb)
  const leftDb = rigLimitDb - Math.abs(now)
  const checksLeft = pace * Math.sign(now) > 0 ? Math.ceil(leftDb / Math.abs(pace)) : undefined
  if (checksLeft === undefined || checksLeft > 100) return `${head}.`
  return `${head}; at this pace it is reached in about ${checksLeft} ${checksLeft === 1 ? 'check' : 'checks'}.`
}

/** Slope of a straight line through the last values, dB a check. */
function paceOf(valuesDb: readonly number[]): number {
  const response = valuesDb.slice(-paceOver)
  return fitLinear({ response, predictors: [response.map((_, i) => i)], intercept: true }).coefficients[1]
}
