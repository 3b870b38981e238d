import { z } from 'zod'

/** `pass`, `fail`, or `repeat`: too close to call, or the recording proves nothing. */
export const Verdict = z.enum(['pass', 'fail', 'repeat'])
export type Verdict = z.infer<typeof Verdict>

/** A run of neighbouring points that broke (or came too near) a limit. */
export const Stretch = z.object({
  setting: z.string(),
  kind: z.enum(['above', 'below']),
  /** `fail`: surely outside; `repeat`: within the guard band of the limit. */
  verdict: z.enum(['fail', 'repeat']),
  fromHz: z.number(),
  toHz: z.number(),
  worstHz: z.number(),
  deviationDb: z.number(),
  limitDb: z.number(),
  guardDb: z.number(),
})
export type Stretch = z.infer<typeof Stretch>

/** One reason of a verdict, in words a maker understands, with the numbers beside it. */
export const Reason = z.object({
  code: z.enum(['outside-band', 'near-limit', 'gain', 'mirror', 'distortion', 'noise', 'shape', 'recording', 'passed']),
  verdict: Verdict,
  message: z.string(),
  setting: z.string().optional(),
})
export type Reason = z.infer<typeof Reason>

/** What the judge found at one setting. Arrays are on the grid of the curve. */
export const SettingJudgement = z.object({
  setting: z.string(),
  verdict: Verdict,
  frequencyHz: z.array(z.number()),
  /** Gain of the unit minus gain of the reference, dB, level kept. */
  deviationDb: z.array(z.number()),
  /** The same after the level difference has been taken out. */
  alignedDeviationDb: z.array(z.number()),
  /** Level difference to the reference (weighted mean over the band), dB. */
  levelDifferenceDb: z.number(),
  upperDb: z.array(z.number()),
  lowerDb: z.array(z.number()),
  guardDb: z.array(z.number()),
  stretches: z.array(Stretch),
})
export type SettingJudgement = z.infer<typeof SettingJudgement>

/** "The minimum curve is the inverse of the maximum": how flat max x min / centre^2 is. Common practice, no source. */
export const MirrorJudgement = z.object({
  verdict: Verdict,
  frequencyHz: z.array(z.number()),
  productDb: z.array(z.number()),
  worstDb: z.number(),
  worstHz: z.number(),
  limitDb: z.number(),
})
export type MirrorJudgement = z.infer<typeof MirrorJudgement>

/** Whether a healthy board could have curves of this shape at all, whatever band they keep. */
export const ShapeJudgement = z.object({
  verdict: Verdict,
  /** Probability that a healthy board looks at least this strange. */
  probability: z.number().min(0).max(1),
  /** The same for how far out the curves lie, and for what no tolerance of a part can do. */
  insideProbability: z.number().min(0).max(1),
  outsideProbability: z.number().min(0).max(1),
  /** The share of healthy boards that the test plan allows to be failed by this. */
  falseFail: z.number(),
  /** Where the curves leave the healthy shapes most. */
  worst: z.object({ setting: z.string(), frequencyHz: z.number(), excessDb: z.number() }),
})
export type ShapeJudgement = z.infer<typeof ShapeJudgement>

export const Judgement = z.object({
  verdict: Verdict,
  reasons: z.array(Reason),
  settings: z.array(SettingJudgement),
  mirror: MirrorJudgement.optional(),
  shape: ShapeJudgement.optional(),
})
export type Judgement = z.infer<typeof Judgement>
