import { z } from 'zod'

/** What can be wrong, as one word. `healthy`: nothing; `rig-pin`: the fixture, not the board. */
export const suspicionKinds = [
  'healthy',
  'open',
  'short',
  'wrong-part',
  'wrong-value',
  'decade-slip',
  'swapped',
  'reversed',
  'leaky',
  'dried-out',
  'cold-joint',
  'amplifier-dead',
  'amplifier-stuck',
  'amplifier-slow',
  'bridge',
  'rig-pin',
] as const
export const SuspicionKind = z.enum(suspicionKinds)
export type SuspicionKind = z.infer<typeof SuspicionKind>

/** One thing that would explain the curves. */
export const Suspicion = z.object({
  /** Stable name of the hypothesis, such as "wrong-part C4 4.7n". */
  id: z.string(),
  kind: SuspicionKind,
  designators: z.array(z.string()),
  /** Nodes that a bridge joins, or that the rig's pin misses. */
  nodes: z.array(z.string()),
  /** "C4 is probably 4.7 nF instead of 47 nF" */
  words: z.string(),
  expected: z.string().nullable(),
  found: z.string().nullable(),
  probability: z.number().min(0).max(1),
})
export type Suspicion = z.infer<typeof Suspicion>

export const SuspectPlace = z.object({
  designator: z.string(),
  xMm: z.number(),
  yMm: z.number(),
  side: z.enum(['top', 'bottom']),
})

/** What a suspect would look like at one setting, for drawing over the measured curve. */
export const PredictedCurve = z.object({
  setting: z.string(),
  frequencyHz: z.array(z.number()),
  gainDb: z.array(z.number()),
})
export type PredictedCurve = z.infer<typeof PredictedCurve>

/** Explanations that these measurements cannot tell apart; the probability is that of all of them together. */
export const Suspect = z.object({
  probability: z.number().min(0).max(1),
  /** Of the most probable explanation, with the others behind it. */
  words: z.string(),
  designators: z.array(z.string()),
  suspicions: z.array(Suspicion).min(1),
  places: z.array(SuspectPlace),
  /** True when the fixture is meant: check the pins, not the board. */
  rig: z.boolean(),
  /** Curves of the most probable explanation, where they were worked out. */
  curves: z.array(PredictedCurve),
})
export type Suspect = z.infer<typeof Suspect>
