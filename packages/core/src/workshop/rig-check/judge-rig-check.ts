import { formatDb, formatHz } from '../../model/format.ts'
import type { TestPlan } from '../../model/product.ts'
import type { Reference, ReferenceSetting } from '../../model/reference.ts'
import type { RigCheck, RigCheckSetting } from '../../model/rig-check.ts'
import type { RigCheckPlan } from '../../model/rig-check-plan.ts'
import type { SettingMeasurement } from '../../model/test-run.ts'
import { curveOnGrid, mustBeCertain } from '../../response/curve/curve-on-grid.ts'
import { isUsable, type UsableMeasurement } from '../../response/judge/judge-context.ts'
import { atSetting } from '../../response/judge/judge-words.ts'
import { bandLimits } from '../../response/judge/tolerance-band.ts'

/** A point may decide only when its uncertainty is so small a share of the limit. */
const certainShare = 1 / 3
/** So large a share of the points must be certain, or the recording is no proof. */
const leastCertain = 0.5

type Judged = Pick<RigCheck, 'outcome' | 'reasons' | 'levelDb' | 'shapeDb' | 'settings'>
type Limits = Pick<RigCheckPlan, 'limitDb' | 'levelLimitDb'>

/**
 * The reference board of today against its own reference: where the rig is as it was, both are equal.
 *
 * `drifted`: at some setting the level at 1 kHz or the shape of the curve (level taken out, over the frequencies that the
 * band judges) is beyond its limit. Else `repeat`: a recording proves nothing. Else `good`. A value is taken as measured,
 * without a guard band (simple acceptance, JCGM 106:2012, 8.2): points whose standard uncertainty exceeds a third of the
 * limit, and deep stop-bands, are left out instead.
 */
export function judgeRigCheck(options: {
  plan: Pick<TestPlan, 'settings' | 'bands'>
  limits: Limits
  reference: Reference
  measurements: readonly SettingMeasurement[]
}): Judged {
  const { plan, limits, reference, measurements } = options
  const settings = plan.settings.map((setting) => {
    const measurement = measurements.find((one) => one.setting === setting)
    const ofReference = reference.settings.find((one) => one.setting === setting)
    return compareSetting({ setting, measurement, ofReference, plan, limits })
  })
  const levels = settings.flatMap(({ levelDifferenceDb }) => (levelDifferenceDb === null ? [] : [levelDifferenceDb]))
  const shapes = settings.flatMap(({ worst }) => (worst === null ? [] : [Math.abs(worst.deviationDb)]))
  const isWhole = settings.every(({ obstacle }) => obstacle === null)
  return {
    ...decide(settings, limits),
    levelDb: isWhole ? levels.reduce((sum, level) => sum + level, 0) / levels.length : null,
    shapeDb: isWhole ? Math.max(...shapes) : null,
    settings,
  }
}

function decide(settings: readonly RigCheckSetting[], limits: Limits): Pick<Judged, 'outcome' | 'reasons'> {
  const drifted = settings.flatMap((setting) => driftWords(setting, limits))
  if (drifted.length > 0) return { outcome: 'drifted', reasons: drifted }
  const obstacles = settings.flatMap(({ obstacle }) => (obstacle === null ? [] : [obstacle]))
  if (obstacles.length > 0) return { outcome: 'repeat', reasons: obstacles }
  const worstOf = (values: readonly number[]) => formatDb(Math.max(...values.map(Math.abs)), { digits: 2 })
  const level = worstOf(settings.map(({ levelDifferenceDb }) => levelDifferenceDb ?? 0))
  const shape = worstOf(settings.map(({ worst }) => worst?.deviationDb ?? 0))
  return {
    outcome: 'good',
    reasons: [`The rig is as it was: level within ${level}, curves within ${shape} of the reference.`],
  }
}

function driftWords({ setting, levelDifferenceDb, worst }: RigCheckSetting, limits: Limits): string[] {
  const words: string[] = []
  const digits = { digits: 2 }
  if (levelDifferenceDb !== null && Math.abs(levelDifferenceDb) > limits.levelLimitDb) {
    const direction = levelDifferenceDb > 0 ? 'higher' : 'lower'
    const size = formatDb(Math.abs(levelDifferenceDb), digits)
    const limit = formatDb(limits.levelLimitDb, digits)
    words.push(`${atSetting(setting)} the level is ${size} ${direction} than the reference's (limit ${limit}).`)
  }
  if (worst && Math.abs(worst.deviationDb) > limits.limitDb) {
    const size = formatDb(worst.deviationDb, { ...digits, signed: true })
    const limit = formatDb(limits.limitDb, digits)
    words.push(`${atSetting(setting)} the curve is off by ${size} at ${formatHz(worst.frequencyHz)} (limit ${limit}).`)
  }
  return words
}

function compareSetting(options: {
  setting: string
  measurement: SettingMeasurement | undefined
  ofReference: ReferenceSetting | undefined
  plan: Pick<TestPlan, 'bands'>
  limits: Limits
}): RigCheckSetting {
  const { setting, measurement, ofReference } = options
  const nothing = (obstacle: string): RigCheckSetting => ({
    setting,
    levelDifferenceDb: null,
    worst: null,
    obstacle: `${atSetting(setting)} ${obstacle}`,
    frequencyHz: [],
    deviationDb: [],
    uncertaintyDb: [],
  })
  if (!ofReference) return nothing('the reference has no curve: measure the reference there first.')
  if (!isUsable(measurement)) {
    const finding = measurement?.findings.find((one) => one.severity === 'refuse')
    return nothing(finding ? `the recording proves nothing: ${finding.message}` : 'there is no recording.')
  }
  if (measurement.polarity !== ofReference.polarity)
    return nothing('the signal is upside down against the reference: check the leads of the rig.')
  const points = comparePoints({ ...options, measurement, ofReference })
  if (points.frequencyHz.length < leastCertain * points.candidates)
    return nothing('the recording is too noisy to prove the rig: look at level and noise.')
  const levelDifferenceDb = measurement.gainAt1kHzDb - ofReference.gainAt1kHzDb
  const { candidates: _, ...arrays } = points
  return { setting, levelDifferenceDb, worst: worstShape(arrays, levelDifferenceDb), obstacle: null, ...arrays }
}

function worstShape(
  points: { frequencyHz: number[]; deviationDb: number[] },
  levelDb: number,
): RigCheckSetting['worst'] {
  let worst: RigCheckSetting['worst'] = null
  points.deviationDb.forEach((deviation, i) => {
    const deviationDb = deviation - levelDb
    if (worst === null || Math.abs(deviationDb) > Math.abs(worst.deviationDb))
      worst = { frequencyHz: points.frequencyHz[i], deviationDb }
  })
  return worst
}

/** Deviation on the points that are certain enough, and how many points there might have been. */
function comparePoints(options: {
  setting: string
  measurement: UsableMeasurement
  ofReference: ReferenceSetting
  plan: Pick<TestPlan, 'bands'>
  limits: Limits
}) {
  const { curve } = options.measurement
  const ofReference = curveOnGrid({ curve: options.ofReference.curve, frequencyHz: curve.frequencyHz })
  const band = options.plan.bands.find((one) => one.setting === options.setting)
  const judged = band ? bandLimits({ band, frequencyHz: curve.frequencyHz }).index : curve.frequencyHz.map((_, i) => i)
  const counts = mustBeCertain(curve.gainDb)
  const candidates = judged.filter((i) => counts[i] && Number.isFinite(ofReference.gainDb[i]))
  const uncertaintyAt = (i: number) => Math.hypot(curve.uncertaintyDb[i], ofReference.uncertaintyDb[i])
  const kept = candidates.filter((i) => uncertaintyAt(i) <= certainShare * options.limits.limitDb)
  return {
    candidates: candidates.length,
    frequencyHz: kept.map((i) => curve.frequencyHz[i]),
    deviationDb: kept.map((i) => curve.gainDb[i] - ofReference.gainDb[i]),
    uncertaintyDb: kept.map(uncertaintyAt),
  }
}
