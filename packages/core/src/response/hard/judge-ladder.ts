import { formatDb, formatHz, formatVoltage } from '../../model/format.ts'
import type { HardReason } from '../../model/hard-run.ts'
import type { HardStep } from '../../model/hard-signature.ts'
import { gravest, type PointDecision } from '../judge/judge-guard.ts'
import { decideDifference, type HardContext, hardReason, unknownSpreadDb } from './hard-context.ts'
import { hasNullBeside } from './harmonic-null.ts'
import { even, uneven } from './level-allowance.ts'
import { takeDeviation } from './mean-signature.ts'
import { shiftedRange } from './shifted-range.ts'
import { stepsByTone } from './tone-clipping.ts'
import { wrapDeg } from './tone-harmonics.ts'

/** Standard uncertainty of a level from the noise behind it, dB: small-angle form, one component of the noise. */
const noiseUncertaintyDb = (levelDb: number, noiseDb: number): number =>
  (20 / Math.LN10) * Math.SQRT1_2 * 10 ** ((noiseDb - levelDb) / 20)

interface ToneAtLevels {
  context: HardContext
  toneHz: number
  /** Levels, dB of 1 V; steps of the unit, the reference and its takes at them. */
  levelsDb: number[]
  unit: HardStep[]
  reference: HardStep[]
  takes: HardStep[][]
}

interface Deviation extends PointDecision {
  at: number
  valueDb: number
  referenceDb: number
}

/** Gain and harmonics over level, tone by tone: the worst of each that is not a plain pass. */
export function judgeLadder(context: HardContext): HardReason[] {
  const references = stepsByTone(context.reference.steps)
  const takes = context.takes.map((take) => stepsByTone(take.steps))
  return stepsByTone(context.unit.steps).flatMap(({ toneHz, steps }, i) => {
    const tone: ToneAtLevels = {
      context,
      toneHz,
      levelsDb: steps.map((step) => 20 * Math.log10(step.inputV)),
      unit: steps,
      reference: references[i].steps,
      takes: takes.map((take) => take[i].steps),
    }
    const harmonics = context.hard.orders.flatMap((order) => [judgeHarmonic(tone, order), judgeSign(tone, order)])
    return [judgeGain(tone), ...harmonics].filter((reason) => reason !== undefined)
  })
}

const same = (value: number): number => value

/** Decides every level; the reference may be read a permitted shift of the clip point to either side. */
function decideLevels(
  tone: ToneAtLevels,
  what: {
    pick: (step: HardStep) => number
    bandDb: number
    floorDb: number
    noiseOf: (step: HardStep) => number
    /** Makes the values even over level where a board begins to clip, and back: between steps a line stands for them. */
    even?: (valueDb: number) => number
    uneven?: (value: number) => number
    /** Where the reference goes through zero beside this step, any depth is right. */
    isNull?: (at: number) => boolean
  },
): Deviation[] {
  const { context, levelsDb, unit, reference, takes } = tone
  const reach = context.hard.band.clipPointDb
  const values = reference.map((step) => Math.max(what.floorDb, what.pick(step)))
  return unit.map((step, at) => {
    const valueDb = Math.max(what.floorDb, what.pick(step))
    const range = shiftedRange({ axis: levelsDb, values: values.map(what.even ?? same), place: levelsDb[at], reach })
    const back = (value: number) => Math.max(what.floorDb, what.uneven ? what.uneven(value) : value)
    const greatest = back(range.greatest)
    const least = what.isNull?.(at) ? what.floorDb : back(range.least)
    const spread = takeDeviation(
      takes.map((take) => Math.max(what.floorDb, what.pick(take[at]))),
      unknownSpreadDb,
    )
    const decision = decideDifference(context, {
      differenceDb: valueDb,
      upperDb: greatest + what.bandDb,
      lowerDb: least - what.bandDb,
      uncertaintiesDb: [spread, spread / Math.sqrt(takes.length), what.noiseOf(step)],
    })
    return { ...decision, at, valueDb, referenceDb: values[at] }
  })
}

function worstOf(deviations: readonly Deviation[]): { worst: Deviation; verdict: Deviation['verdict'] } | undefined {
  const verdict = gravest(deviations.map((one) => one.verdict))
  if (verdict === 'pass') return undefined
  const of = deviations.filter((one) => one.verdict === verdict)
  return { verdict, worst: of.reduce((a, b) => (a.excessDb >= b.excessDb ? a : b)) }
}

function judgeGain(tone: ToneAtLevels): HardReason | undefined {
  const { context } = tone
  const { gainDb } = context.hard.band
  const noFloor = Number.NEGATIVE_INFINITY
  const found = worstOf(
    decideLevels(tone, { pick: (s) => s.gainDb, bandDb: gainDb, floorDb: noFloor, noiseOf: () => 0 }),
  )
  if (!found) return undefined
  const { worst, verdict } = found
  const inputV = tone.unit[worst.at].inputV
  return hardReason(
    context,
    'gain',
    verdict,
    `at ${formatHz(tone.toneHz)} and ${formatVoltage(inputV)} the gain is ${formatDb(worst.valueDb)}, the reference's ${formatDb(worst.referenceDb)} (limit ±${formatDb(gainDb)})`,
  )
}

function judgeHarmonic(tone: ToneAtLevels, order: number): HardReason | undefined {
  const { context } = tone
  const { harmonicDb, floorDb } = context.hard.band
  const of = (step: HardStep) => step.harmonics.find((one) => one.order === order)
  if (!tone.unit.every(of) || !tone.reference.every(of)) return undefined
  const pick = (step: HardStep) => of(step)!.levelDb
  const noiseOf = (step: HardStep) => {
    const { levelDb, noiseDb } = of(step)!
    return Math.min(20, noiseUncertaintyDb(Math.max(levelDb, floorDb), noiseDb))
  }
  const isNull = (at: number) => hasNullBeside({ steps: tone.reference, at, order })
  const found = worstOf(decideLevels(tone, { pick, bandDb: harmonicDb, floorDb, noiseOf, even, uneven, isNull }))
  if (!found) return undefined
  const { worst, verdict } = found
  return hardReason(
    context,
    'harmonic',
    verdict,
    `at ${formatHz(tone.toneHz)} and ${formatVoltage(tone.unit[worst.at].inputV)} harmonic ${order} is ${formatDb(worst.valueDb)}, the reference's ${formatDb(worst.referenceDb)} (limit ±${formatDb(harmonicDb)})`,
  )
}

/** A harmonic's turn says something where it is this far above the floor, and the reference's own turn stands still, dB and deg. */
const clearDb = 10
const stillDeg = 30

function judgeSign(tone: ToneAtLevels, order: number): HardReason | undefined {
  const { context, unit, reference } = tone
  const { floorDb, phaseDeg } = context.hard.band
  const of = (step: HardStep | undefined) => step?.harmonics.find((one) => one.order === order)
  const isClear = (step: HardStep | undefined) => {
    const one = of(step)
    return one !== undefined && one.levelDb > Math.max(floorDb, one.noiseDb) + clearDb
  }
  const turned = unit.flatMap((step, at) => {
    const near = [reference[at - 1], reference[at], reference[at + 1]].filter((one) => one !== undefined)
    if (!isClear(step) || near.length < 3 || !near.every(isClear)) return []
    const here = of(reference[at])!.phaseDeg
    if (near.some((one) => Math.abs(wrapDeg(of(one)!.phaseDeg - here)) > stillDeg)) return []
    return [{ at, turnDeg: Math.abs(wrapDeg(of(step)!.phaseDeg - here)) }]
  })
  const worst = turned.reduce<(typeof turned)[number] | undefined>(
    (a, b) => (a && a.turnDeg >= b.turnDeg ? a : b),
    undefined,
  )
  if (!worst || worst.turnDeg <= phaseDeg) return undefined
  return hardReason(
    context,
    'sign',
    'fail',
    `at ${formatHz(tone.toneHz)} and ${formatVoltage(unit[worst.at].inputV)} harmonic ${order} is turned by ${Math.round(worst.turnDeg)}° against the reference's (limit ${phaseDeg}°)`,
  )
}
