import { formatDb, formatHz } from '../../model/format.ts'
import type { HardReason } from '../../model/hard-run.ts'
import type { HardStep, HardSweep } from '../../model/hard-signature.ts'
import { gravest, type PointDecision } from '../judge/judge-guard.ts'
import { decideDifference, type HardContext, hardReason, unknownSpreadDb } from './hard-context.ts'
import { type LevelAllowance, levelAllowances, nearestAllowance } from './level-allowance.ts'
import { takeDeviation } from './mean-signature.ts'
import { shiftedRange } from './shifted-range.ts'

/** What clips a little sooner does so a little further along the sweep: permitted shift, octaves. */
const reachOctaves = 0.25
/** Points of the grid (24 an octave) that must agree before they count: a single one is a spike of the noise. */
const leastPoints = 4
/** Harmonics this near to the noise are not compared, dB. */
const aboveNoiseDb = 6

interface HardLimits {
  frequencyHz: number[]
  upperDb: number[]
  lowerDb: number[]
}

/**
 * The limits of one curve of the loud sweep: the reference within a quarter of an octave, and the band on top.
 * @param options.values the reference's, dB; null where there is none
 * @param options.floorDb values below count as this
 */
function hardLimits(options: {
  frequencyHz: readonly number[]
  values: readonly (number | null)[]
  bandDb: number
  floorDb?: number
  /** What a permitted shift of the clip point does, by tone; nothing when left out. */
  allowances?: readonly LevelAllowance[]
}): HardLimits {
  const { frequencyHz, values, bandDb, floorDb = Number.NEGATIVE_INFINITY } = options
  const there = frequencyHz.flatMap((f, i) => {
    const value = values[i]
    return value === null ? [] : [{ f, octaves: Math.log2(f), value: Math.max(floorDb, value) }]
  })
  const allowanceAt = (f: number) =>
    options.allowances?.length ? nearestAllowance(options.allowances, f) : { upDb: 0, downDb: 0 }
  const axis = there.map((one) => one.octaves)
  const level = there.map((one) => one.value)
  const ranges = axis.map((place) => shiftedRange({ axis, values: level, place, reach: reachOctaves }))
  return {
    frequencyHz: there.map((one) => one.f),
    upperDb: ranges.map((range, i) => range.greatest + bandDb + allowanceAt(there[i].f).upDb),
    lowerDb: ranges.map((range, i) => Math.max(range.least, floorDb) - bandDb - allowanceAt(there[i].f).downDb),
  }
}

/** Gain and harmonics over the frequency of the loud sweep against the reference; only what is not a plain pass. */
export function judgeHardSweep(context: HardContext): HardReason[] {
  const { unit, reference, takes, hard } = context
  if (!unit.sweep || !reference.sweep) return []
  const sweeps = takes.map((take) => take.sweep).filter((sweep) => sweep !== null)
  const { band } = hard
  const allowancesOf = (pick: (step: HardStep) => number, floorDb: number, order?: number) =>
    levelAllowances({
      steps: reference.steps,
      pick,
      levelV: reference.sweep!.levelV,
      reachDb: band.clipPointDb,
      floorDb,
      order,
    })
  const gain = judgeCurve(context, {
    code: 'gain',
    name: 'the gain',
    values: unit.sweep.gainDb,
    reference: reference.sweep.gainDb,
    takes: sweeps.map((sweep) => sweep.gainDb),
    bandDb: band.gainDb,
    allowances: allowancesOf((step) => step.gainDb, Number.NEGATIVE_INFINITY),
  })
  const harmonics = unit.sweep.harmonics
    .filter(({ order }) => hard.orders.includes(order))
    .map(({ order, levelDb, noiseDb }) => {
      const of = (sweep: HardSweep) => sweep.harmonics.find((one) => one.order === order)?.levelDb ?? []
      return judgeCurve(context, {
        code: 'harmonic',
        name: `harmonic ${order}`,
        values: levelDb.map((level, i) => (level !== null && level > (noiseDb[i] ?? 0) + aboveNoiseDb ? level : null)),
        reference: of(reference.sweep!),
        takes: sweeps.map(of),
        bandDb: band.harmonicDb,
        floorDb: band.floorDb,
        allowances: allowancesOf((step) => levelOfOrder(step, order) ?? band.floorDb, band.floorDb, order),
      })
    })
  return [gain, ...harmonics].filter((reason) => reason !== undefined)
}

interface CurveToJudge {
  code: 'gain' | 'harmonic'
  name: string
  values: readonly (number | null)[]
  reference: readonly (number | null)[]
  takes: readonly (readonly (number | null)[])[]
  bandDb: number
  floorDb?: number
  allowances: readonly LevelAllowance[]
}

const levelOfOrder = (step: HardStep, order: number): number | undefined =>
  step.harmonics.find((one) => one.order === order)?.levelDb

function judgeCurve(context: HardContext, what: CurveToJudge): HardReason | undefined {
  const { frequencyHz } = context.unit.sweep!
  const floorDb = what.floorDb ?? Number.NEGATIVE_INFINITY
  const limits = hardLimits({ ...what, frequencyHz, values: what.reference })
  const decisions = limits.frequencyHz.map((f, at): (PointDecision & { valueDb: number; at: number }) | null => {
    const i = frequencyHz.indexOf(f)
    const value = what.values[i]
    if (value === null) return null
    const valueDb = Math.max(floorDb, value)
    const spread = takeDeviation(
      what.takes.map((take) => Math.max(floorDb, take[i] ?? floorDb)),
      unknownSpreadDb,
    )
    const decision = decideDifference(context, {
      differenceDb: valueDb,
      upperDb: limits.upperDb[at],
      lowerDb: limits.lowerDb[at],
      uncertaintiesDb: [spread, spread / Math.sqrt(Math.max(1, what.takes.length))],
    })
    return { ...decision, valueDb, at: i }
  })
  const lasting = decisions.filter((one, i) => one && one.verdict !== 'pass' && isLasting(decisions, i))
  const verdict = gravest(lasting.map((one) => one!.verdict))
  if (verdict === 'pass') return undefined
  const worst = lasting
    .filter((one) => one!.verdict === verdict)
    .reduce((a, b) => (a!.excessDb >= b!.excessDb ? a : b))!
  const referenceDb = Math.max(floorDb, what.reference[worst.at] ?? floorDb)
  return hardReason(
    context,
    what.code,
    verdict,
    `in the loud sweep ${what.name} at ${formatHz(frequencyHz[worst.at])} is ${formatDb(worst.valueDb)}, the reference's ${formatDb(referenceDb)} (limit ±${formatDb(what.bandDb)})`,
  )
}

/** True when as many neighbours as it takes, this point among them, lie on the same side of the band. */
function isLasting(decisions: readonly (PointDecision | null)[], at: number): boolean {
  const same = (i: number) => {
    const one = decisions[i]
    return one !== null && one !== undefined && one.verdict !== 'pass' && one.kind === decisions[at]?.kind
  }
  let count = 1
  for (let i = at - 1; same(i); i--) count++
  for (let i = at + 1; same(i); i++) count++
  return count >= leastPoints
}
