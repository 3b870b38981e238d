import { z } from 'zod'
import { LotId } from './part-lot.ts'
import { PlacingOrder, WorkStep } from './procedure.ts'
import { Serial } from './unit.ts'

/** `working` while one of its units is in state `building`, else `done`. */
export const BuildState = z.enum(['working', 'done'])
export type BuildState = z.infer<typeof BuildState>

/** A number of units started together from issued part lots. Its steps are frozen with it. */
export const Build = z.object({
  id: z.number().int().positive(),
  productId: z.string(),
  revision: z.string(),
  startedAt: z.iso.datetime(),
  station: z.string(),
  note: z.string(),
  order: PlacingOrder,
  steps: z.array(WorkStep),
  /** In the order they were given. */
  serials: z.array(Serial),
})
export type Build = z.infer<typeof Build>

/** Pieces of a lot that went into one place of a unit when it was built. */
export const FittedPart = z.object({
  serial: Serial,
  designator: z.string(),
  part: z.string(),
  lotId: LotId,
  pieces: z.number().int().positive(),
})
export type FittedPart = z.infer<typeof FittedPart>

/** `done`; `undone`: it has to be done again; `wrong`: something is wrong, and says what. */
export const WorkMark = z.enum(['done', 'undone', 'wrong'])
export type WorkMark = z.infer<typeof WorkMark>

/** One row of the work on a unit: only ever added, the last `done` or `undone` of a step counts. */
export const WorkRecord = z.object({
  id: z.number().int().positive(),
  buildId: z.number().int().positive(),
  serial: Serial,
  step: z.string(),
  mark: WorkMark,
  at: z.iso.datetime(),
  station: z.string(),
  /** Time worked on this step of this unit, pauses left out; null when nobody took it. */
  workedS: z.number().nonnegative().nullable(),
  note: z.string(),
  photoPath: z.string(),
})
export type WorkRecord = z.infer<typeof WorkRecord>

/** Keys of the steps of a unit that are done. */
export function doneSteps(records: readonly Pick<WorkRecord, 'step' | 'mark'>[]): Set<string> {
  const done = new Set<string>()
  for (const { step, mark } of records) {
    if (mark === 'done') done.add(step)
    if (mark === 'undone') done.delete(step)
  }
  return done
}

/** The steps that make the board: those before the first visit to the rig. */
export function boardSteps(steps: readonly WorkStep[]): WorkStep[] {
  const rig = steps.findIndex((step) => step.kind === 'rig')
  return rig < 0 ? [...steps] : steps.slice(0, rig)
}
