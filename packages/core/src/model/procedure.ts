import { z } from 'zod'

/** In which order parts are placed. `own`: the groups as the placements name them, first named first. */
export const placingOrders = ['inside-out', 'lowest-first', 'own'] as const
export const PlacingOrder = z.enum(placingOrders)
export type PlacingOrder = z.infer<typeof PlacingOrder>

/** `rig` ends the building: what comes before it is done on the board, what comes after with a tested unit. */
export const stepKinds = ['place', 'trim', 'touch-up', 'clean', 'look-over', 'rig', 'listen', 'label', 'other'] as const
export const StepKind = z.enum(stepKinds)
export type StepKind = z.infer<typeof StepKind>

const text = (most: number) => z.string().trim().max(most)

/** A step of the bench work on a unit. */
export const WorkStep = z.object({
  key: z.string().regex(/^[a-z][a-z0-9-]{0,60}$/, 'use small letters, digits and hyphens, such as "first-clean"'),
  kind: StepKind,
  title: text(80).min(1),
  /** What to do, in a sentence or two. */
  text: text(600).default(''),
  cautions: z.array(text(300).min(1)).default([]),
  /** What to look at, one thing a line. */
  checklist: z.array(text(200).min(1)).default([]),
  /** The places of a `place` step. */
  designators: z.array(z.string()).default([]),
  /** The part of a `place` step. */
  part: z.string().optional(),
  /** Group of a `place` step. */
  group: z.string().optional(),
})
export type WorkStep = z.infer<typeof WorkStep>

/** How a product is built: the order of placing, and what is done after it. */
export const Procedure = z.object({
  order: PlacingOrder.default('inside-out'),
  /** After placing; the usual steps unless told. */
  steps: z
    .array(WorkStep.refine((step) => step.kind !== 'place', 'place steps are made from the parts list'))
    .min(1)
    .refine((steps) => new Set(steps.map((step) => step.key)).size === steps.length, 'give each step its own key')
    .optional(),
})
export type Procedure = z.infer<typeof Procedure>
