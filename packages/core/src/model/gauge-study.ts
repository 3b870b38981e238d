import { z } from 'zod'
import { RigKind } from './rig-check.ts'
import { Serial } from './unit.ts'

/** How large a gauge study may be; the least is what an analysis of variance needs. */
export const gaugeStudySizes = {
  units: { least: 2, most: 50 },
  repeats: { least: 2, most: 20 },
  setUps: { least: 2, most: 20 },
}

/** `running` until its last reading, then `complete`; `abandoned` when it was given up. */
export const gaugeStudyStates = ['running', 'complete', 'abandoned'] as const

/** A study of the rig: units x set-ups x repeats, read in a random order that its seed decides. */
export const GaugeStudy = z.object({
  id: z.number().int().positive(),
  startedAt: z.iso.datetime(),
  station: z.string(),
  productId: z.string(),
  revision: z.string(),
  rig: RigKind,
  seed: z.number().int().nonnegative(),
  serials: z.array(Serial).min(gaugeStudySizes.units.least).max(gaugeStudySizes.units.most),
  repeats: z.number().int().min(gaugeStudySizes.repeats.least).max(gaugeStudySizes.repeats.most),
  setUps: z.number().int().min(gaugeStudySizes.setUps.least).max(gaugeStudySizes.setUps.most),
  settings: z.array(z.string()).min(1),
  note: z.string(),
  state: z.enum(gaugeStudyStates),
  /** Readings taken, and all that are wanted. */
  readings: z.number().int(),
  wanted: z.number().int(),
})
export type GaugeStudy = z.infer<typeof GaugeStudy>

/** One reading of a study: which board, in which set-up, the how-manieth time without being taken out. */
export const GaugeStep = z.object({
  /** From 1, in the order of the study. */
  position: z.number().int().min(1),
  serial: Serial,
  setUp: z.number().int().min(1),
  repeat: z.number().int().min(1),
})
export type GaugeStep = z.infer<typeof GaugeStep>

/** One source of variation: standard deviation with confidence limits, dB. */
export const GaugeFigure = z.object({
  deviationDb: z.number(),
  lowerDb: z.number(),
  /** null: nothing can be said of how large it may be. */
  upperDb: z.number().nullable(),
  percentOfTotal: z.number(),
  /** Six standard deviations in percent of the tolerance. */
  percentOfTolerance: z.number(),
})
export type GaugeFigure = z.infer<typeof GaugeFigure>

/** The table of a study by one method. */
export const GaugeFigures = z.object({
  /** The same board, not taken out. */
  repeatability: GaugeFigure,
  /** From one set-up to the next, with what taking a board out and in does. */
  reproducibility: GaugeFigure,
  gauge: GaugeFigure,
  part: GaugeFigure,
  /** How many classes of board the rig tells apart; null upper and exact: it repeats perfectly. */
  classes: z.object({
    count: z.number().nullable(),
    exact: z.number().nullable(),
    lower: z.number(),
    upper: z.number().nullable(),
  }),
})
export type GaugeFigures = z.infer<typeof GaugeFigures>

/** One quantity of a study, by both methods. */
export const GaugeQuantity = z.object({
  quantity: z.enum(['level', 'gain']),
  setting: z.string(),
  frequencyHz: z.number(),
  toleranceDb: z.number(),
  anova: GaugeFigures.extend({
    /** Probability that chance alone makes an interaction of board and set-up this large. */
    interactionProbability: z.number(),
    /** Whether the interaction was taken into the error, for it was no more than that. */
    pooled: z.boolean(),
  }),
  /** By averages and ranges. */
  range: GaugeFigures,
})
export type GaugeQuantity = z.infer<typeof GaugeQuantity>

/** Standard deviations over the judged frequencies of one setting, dB. */
export const GaugeCurve = z.object({
  setting: z.string(),
  frequencyHz: z.array(z.number()),
  repeatabilityDb: z.array(z.number()),
  reproducibilityDb: z.array(z.number()),
  gaugeDb: z.array(z.number()),
  partDb: z.array(z.number()),
})
export type GaugeCurve = z.infer<typeof GaugeCurve>

/** What a complete study says. */
export const GaugeResult = z.object({
  studyId: z.number().int(),
  confidence: z.number(),
  quantities: z.array(GaugeQuantity),
  curves: z.array(GaugeCurve),
  /** Root mean square over the judged frequencies, of the setting where the rig is worst. */
  overall: z.object({
    setting: z.string(),
    repeatabilityDb: z.number(),
    reproducibilityDb: z.number(),
    gaugeDb: z.number(),
    partDb: z.number(),
    classes: z.number().nullable(),
  }),
  /** Which uncertainty the judge has now, and which it would have from this study; with their guard bands. */
  effect: z.object({
    presentDb: z.number(),
    presentSource: z.string(),
    rigUncertaintyDb: z.number(),
    guardBandBeforeDb: z.number(),
    guardBandAfterDb: z.number(),
  }),
  /** In sentences, for the screen. */
  words: z.array(z.string()).min(1),
})
export type GaugeResult = z.infer<typeof GaugeResult>
