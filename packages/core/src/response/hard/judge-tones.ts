import { formatDb, formatHz, formatVoltage } from '../../model/format.ts'
import type { HardReason } from '../../model/hard-run.ts'
import type { HardStep } from '../../model/hard-signature.ts'
import type { Verdict } from '../../model/verdict.ts'
import { decideDifference, type HardContext, hardReason, unknownSpreadDb } from './hard-context.ts'
import { takeDeviation } from './mean-signature.ts'
import { stepsByTone, type ToneClipping, toneClipping } from './tone-clipping.ts'

const decibels = (ratio: number): number => 20 * Math.log10(ratio)

/** Standard uncertainty of a level that is read between two steps, in steps: found with clipped cosines, our own. */
const betweenSteps = 0.05

interface TonePair {
  context: HardContext
  unit: ToneClipping
  reference: ToneClipping
  takes: ToneClipping[]
}

/** How well the takes agree on one figure of a tone, and how well a new board's can be known: dB. */
function spreadOf({ takes }: TonePair, pick: (one: ToneClipping) => number | null): number[] {
  const there = takes.map(pick).filter((value) => value !== null)
  const spread = takeDeviation(there, unknownSpreadDb)
  return [spread, spread / Math.sqrt(Math.max(1, there.length))]
}

/** Clip point, swing and symmetry of every tone against the reference; only what is not a plain pass. */
export function judgeTones(context: HardContext): HardReason[] {
  const { hard, unit, reference, takes } = context
  const clippingOf = (steps: readonly HardStep[]) =>
    stepsByTone(steps).map((tone) => toneClipping({ steps: tone.steps, clipPercent: hard.clipPercent }))
  const ofTakes = takes.map((take) => clippingOf(take.steps))
  const references = clippingOf(reference.steps)
  return clippingOf(unit.steps).flatMap((one, i) => {
    const pair = { context, unit: one, reference: references[i], takes: ofTakes.map((tones) => tones[i]) }
    return [judgeClipPoint(pair), judgeSwing(pair, 'upper'), judgeSwing(pair, 'lower'), judgeHalves(pair)].filter(
      (reason) => reason !== undefined,
    )
  })
}

const unlessPass = (verdict: Verdict, reason: () => HardReason): HardReason | undefined =>
  verdict === 'pass' ? undefined : reason()

function judgeClipPoint(pair: TonePair): HardReason | undefined {
  const { context, unit, reference } = pair
  if (reference.clipV === null) return undefined
  const limit = context.hard.band.clipPointDb
  const topV = Math.max(...context.unit.steps.map((step) => step.inputV))
  // A board that does not clip up to the top does so there or later.
  const differenceDb = decibels((unit.clipV ?? topV) / reference.clipV)
  const { verdict } = decideDifference(context, {
    differenceDb,
    upperDb: limit,
    lowerDb: -limit,
    uncertaintiesDb: [
      ...spreadOf(pair, ({ clipV }) => (clipV === null ? null : decibels(clipV))),
      betweenSteps * context.hard.ladder.stepDb,
    ],
  })
  const at = formatHz(unit.toneHz)
  const found =
    unit.clipV === null
      ? `at ${at} it does not clip up to ${formatVoltage(topV)}`
      : `at ${at} it clips from ${formatVoltage(unit.clipV)} on`
  const than = `${formatDb(Math.abs(differenceDb))} ${differenceDb < 0 ? 'sooner' : 'later'} than the reference`
  return unlessPass(verdict, () =>
    hardReason(context, 'clip-point', verdict, `${found}, ${than} (limit ±${formatDb(limit)})`),
  )
}

function judgeSwing(pair: TonePair, half: 'upper' | 'lower'): HardReason | undefined {
  const { context, unit, reference } = pair
  if (reference.clipV === null) return undefined
  const swing = (one: ToneClipping) => (half === 'upper' ? one.highV : -one.lowV)
  const limit = context.hard.band.swingDb
  const differenceDb = decibels(swing(unit) / swing(reference))
  const { verdict } = decideDifference(context, {
    differenceDb,
    upperDb: limit,
    lowerDb: -limit,
    uncertaintiesDb: spreadOf(pair, (one) => decibels(swing(one))),
  })
  return unlessPass(verdict, () =>
    hardReason(
      context,
      'swing',
      verdict,
      `at ${formatHz(unit.toneHz)} the ${half} half of the wave swings ${formatVoltage(swing(unit))}, ${formatDb(differenceDb, { signed: true })} against the reference (limit ±${formatDb(limit)})`,
    ),
  )
}

function judgeHalves(pair: TonePair): HardReason | undefined {
  const { context, unit, reference } = pair
  if (unit.halvesDb === null || reference.halvesDb === null) return undefined
  const limit = context.hard.band.symmetryDb
  const differenceDb = unit.halvesDb - reference.halvesDb
  const { verdict } = decideDifference(context, {
    differenceDb,
    upperDb: limit,
    lowerDb: -limit,
    uncertaintiesDb: spreadOf(pair, (one) => one.halvesDb),
  })
  const words = `at ${formatHz(unit.toneHz)} ${halvesWords(unit.halvesDb)}; the reference: ${halvesWords(reference.halvesDb)} (limit ±${formatDb(limit)})`
  return unlessPass(verdict, () => hardReason(context, 'symmetry', verdict, words))
}

/** Halves that are held within this of each other are held alike, dB. */
const alikeDb = 0.5

/** Which half of the wave is held first, in words. */
export function halvesWords(halvesDb: number): string {
  if (Math.abs(halvesDb) <= alikeDb) return 'both halves are held alike'
  const [first, other] = halvesDb > 0 ? ['upper', 'lower'] : ['lower', 'upper']
  return `the ${first} half is held ${formatDb(Math.abs(halvesDb))} before the ${other}`
}
