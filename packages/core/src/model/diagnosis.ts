import { z } from 'zod'
import { Suspect } from './suspect.ts'

/** What a suspect would make a check show: "C4: 4.10 V". */
export const CheckOutcome = z.object({ designators: z.array(z.string()), words: z.string() })
export type CheckOutcome = z.infer<typeof CheckOutcome>

/** A further measurement that would tell the suspects apart. */
export const NextCheck = z.object({
  /** `setting`: one more sweep; `probe`: a sweep read at a node; `part`: the part itself, one leg lifted. */
  kind: z.enum(['setting', 'probe', 'voltage', 'supply-current', 'part']),
  setting: z.string().nullable(),
  node: z.string().nullable(),
  designator: z.string().nullable(),
  words: z.string(),
  /** Expected fall of the uncertainty about which part it is, bits. */
  informationBits: z.number().nonnegative(),
  outcomes: z.array(CheckOutcome),
})
export type NextCheck = z.infer<typeof NextCheck>

/** A board's fault, as far as the measurements tell. */
export const Diagnosis = z.object({
  /** Most probable first; parts of small probability are left out. */
  suspects: z.array(Suspect),
  /** Probability that nothing in the dictionary explains the curves. */
  noneProbability: z.number().min(0).max(1),
  /** Probability that the board is as designed, or that what is wrong cannot be seen in its response. */
  healthyProbability: z.number().min(0).max(1),
  /** True when a pin of the fixture is the most probable reason: check the rig before the board. */
  rigFault: z.boolean(),
  words: z.string(),
  nextChecks: z.array(NextCheck),
  hypothesisCount: z.number().int(),
  /** Misfit of the best explanation: chi-square over so many numbers; about as large as that number when it is right. */
  misfit: z.object({ chiSquare: z.number(), numbers: z.number().int() }),
})
export type Diagnosis = z.infer<typeof Diagnosis>
