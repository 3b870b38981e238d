import { z } from 'zod'
import { RigVersion } from './rig.ts'
import { RigCheckPlan } from './rig-check-plan.ts'
import { TestRun } from './test-run.ts'
import { Serial, UnitState } from './unit.ts'
import { Verdict } from './verdict.ts'

/** What the reference board is called where a rig asks for a serial number. No unit may be called so. */
export const referenceBoardSerial = 'REFERENCE'

/**
 * What counts as one rig. Recordings that came as files (dropped in a folder, named on the command line or uploaded) are
 * all of the maker's own player and recorder: one rig, whatever way the file took.
 */
export const rigKinds = ['sound-interface', 'files', 'simulated'] as const
export const RigKind = z.enum(rigKinds)
export type RigKind = z.infer<typeof RigKind>

const rigOfRun = TestRun.shape.rig
export const rigKindOf = (rig: TestRun['rig']): RigKind => (rig === 'wave-files' || rig === 'upload' ? 'files' : rig)

/** A rig in words, for a sentence. */
export const rigKindWords: Readonly<Record<RigKind, string>> = {
  'sound-interface': 'the rig with its sound interface',
  files: 'the rig behind the recordings',
  simulated: 'the simulated rig',
}

/** `good`: as the reference was measured; `drifted`: beyond a limit; `repeat`: the recording proves nothing. */
export const rigCheckOutcomes = ['good', 'drifted', 'repeat'] as const
export const RigCheckOutcome = z.enum(rigCheckOutcomes)
export type RigCheckOutcome = z.infer<typeof RigCheckOutcome>

/** The reference board at one setting, against its own reference. The arrays stand on the points that count. */
export const RigCheckSetting = z.object({
  setting: z.string(),
  /** Gain at 1 kHz minus the reference's, dB; null when the recording proves nothing. */
  levelDifferenceDb: z.number().nullable(),
  /** Where the curve is furthest from the reference's, the level at 1 kHz taken out. */
  worst: z.object({ frequencyHz: z.number(), deviationDb: z.number() }).nullable(),
  /** Why the recording proves nothing, in a sentence; null when it does. */
  obstacle: z.string().nullable(),
  frequencyHz: z.array(z.number()),
  /** Gain minus the reference's, level kept, dB. */
  deviationDb: z.array(z.number()),
  /** Standard uncertainty of that, dB. */
  uncertaintyDb: z.array(z.number()),
})
export type RigCheckSetting = z.infer<typeof RigCheckSetting>

/** The reference board measured to prove the rig. */
export const RigCheck = z.object({
  id: z.number().int().positive(),
  at: z.iso.datetime(),
  station: z.string(),
  productId: z.string(),
  revision: z.string(),
  rig: rigOfRun,
  /** The settings of the rig that it was measured through; null for a rig without settings. */
  rigSettings: RigVersion.nullable().default(null),
  referenceVersion: z.number().int(),
  /** The limits it was judged by stand with it. */
  limits: RigCheckPlan.pick({ limitDb: true, levelLimitDb: true }),
  outcome: RigCheckOutcome,
  /** One sentence each. */
  reasons: z.array(z.string()).min(1),
  /** Mean of the level differences of its settings, dB: what the drift chart shows. */
  levelDb: z.number().nullable(),
  /** Largest deviation of shape over its settings, dB, without sign. */
  shapeDb: z.number().nonnegative().nullable(),
  settings: z.array(RigCheckSetting).min(1),
})
export type RigCheck = z.infer<typeof RigCheck>

/** A check in a list: all but the curves. */
export const RigCheckSummary = RigCheck.omit({ settings: true })
export type RigCheckSummary = z.infer<typeof RigCheckSummary>

/** What is to be done with a unit that was tested on a rig in doubt. */
export const retestActions = ['test-again', 'take-back', 'look-at'] as const

/** A unit whose last test stands on a rig that was found drifted afterwards. */
export const RetestItem = z.object({
  serial: Serial,
  state: UnitState,
  /** The check that put it on the list. */
  checkId: z.number().int(),
  rig: RigKind,
  /** Its test that is in doubt. */
  runId: z.string(),
  testedAt: z.iso.datetime(),
  verdict: Verdict,
  /**
   * `test-again`: it can go on the rig; `take-back`: it is ready or reserved, so it must be taken back first; `look-at`:
   * it is out of the workshop, and somebody must decide.
   */
  action: z.enum(retestActions),
})
export type RetestItem = z.infer<typeof RetestItem>

/** Which of those actions a unit in this state needs. */
export function retestActionFor(state: UnitState): RetestItem['action'] {
  if (state === 'ready' || state === 'reserved') return 'take-back'
  return state === 'shipped' ? 'look-at' : 'test-again'
}
