import { BoardwrightError } from '../model/error.ts'
import type { Product, ToleranceBand } from '../model/product.ts'
import type { Reference } from '../model/reference.ts'
import type { SettingMeasurement } from '../model/test-run.ts'
import { curveOnGrid } from '../response/curve/curve-on-grid.ts'
import { gridFrequenciesHz } from '../response/curve/grid.ts'
import { enclosingBreakpoints } from '../response/judge/enclosing-breakpoints.ts'
import { oneSidedToleranceFactor } from '../statistics/tolerance-factor.ts'
import type { Store } from './ports.ts'

/** With fewer units the limits are a guess. Common practice, no source. */
const leastUnits = 5
/** The band shall hold so large a share of units on each side at every frequency, with this confidence. */
const coverage = 0.995
const confidence = 0.95

/** The last passing run of each of the last so many units that stand on a pass, newest first. */
function lastPasses(store: Store, productId: string, last: number) {
  return store.units
    .list({})
    .filter((unit) => unit.productId === productId && unit.lastRun?.verdict === 'pass')
    .sort((a, b) => ((a.lastRun?.startedAt ?? '') < (b.lastRun?.startedAt ?? '') ? 1 : -1))
    .slice(0, last)
    .flatMap((unit) => store.testRuns.find(unit.lastRunId ?? '') ?? [])
}

/**
 * Bands from the last units that passed: at each frequency the mean of their deviations from the current reference, and
 * so many standard deviations to both sides that nearly all units of the same making keep inside.
 * Errors: too-few-units.
 */
export function bandOfUnits(
  store: Store,
  options: { product: Product; reference: Reference; last: number; breakpointsHz?: readonly number[] },
): { bands: ToleranceBand[]; serials: string[] } {
  const { product, reference, last, breakpointsHz } = options
  const runs = lastPasses(store, product.id, last)
  if (runs.length < leastUnits)
    throw new BoardwrightError(
      'too-few-units',
      `${runs.length} units of ${product.name} stand on a pass; a band from units needs ${leastUnits} at least.`,
    )
  const bands = product.testPlan.bands.flatMap((band): ToleranceBand[] => {
    const deviations = runs
      .map(({ measurements }) => deviationOf(band, measurements, reference))
      .filter((deviation) => deviation !== undefined)
    if (deviations.length < leastUnits) return []
    return [{ ...band, breakpoints: enclosingBreakpoints({ ...limitsOf(deviations), breakpointsHz }) }]
  })
  return { bands, serials: runs.map((run) => run.serial) }
}

/** Deviation from the reference on the measuring grid, NaN where either curve does not reach. */
function deviationOf(
  { setting, compare }: ToleranceBand,
  measurements: readonly SettingMeasurement[],
  reference: Reference,
): number[] | undefined {
  const curve = measurements.find((one) => one.setting === setting && one.usable)?.curve
  const ofReference = reference.settings.find((one) => one.setting === setting)?.curve
  if (!curve || !ofReference) return undefined
  const unitDb = curveOnGrid({ curve, frequencyHz: gridFrequenciesHz }).gainDb
  const referenceDb = curveOnGrid({ curve: ofReference, frequencyHz: gridFrequenciesHz }).gainDb
  const deviation = unitDb.map((gainDb, i) => gainDb - referenceDb[i])
  if (compare === 'absolute') return deviation
  const known = deviation.filter(Number.isFinite)
  const levelDb = known.reduce((sum, x) => sum + x, 0) / Math.max(1, known.length)
  return deviation.map((x) => x - levelDb)
}

function limitsOf(deviations: readonly number[][]) {
  const whole = gridFrequenciesHz.map((_, i) => i).filter((i) => deviations.every((one) => Number.isFinite(one[i])))
  const factor = oneSidedToleranceFactor({ count: deviations.length, coverage, confidence })
  const spread = whole.map((i) => {
    const mean = deviations.reduce((sum, one) => sum + one[i], 0) / deviations.length
    const square = deviations.reduce((sum, one) => sum + (one[i] - mean) ** 2, 0) / (deviations.length - 1)
    return { mean, width: factor * Math.sqrt(square) }
  })
  return {
    frequencyHz: whole.map((i) => gridFrequenciesHz[i]),
    upperDb: spread.map(({ mean, width }) => mean + width),
    lowerDb: spread.map(({ mean, width }) => mean - width),
  }
}
