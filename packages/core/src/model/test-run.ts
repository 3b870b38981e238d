import { z } from 'zod'
import { Finding } from './finding.ts'
import { Distortion, Noise, ResponseCurve } from './response-curve.ts'
import { RigVersion } from './rig.ts'
import { RigUncertainty } from './rig-uncertainty.ts'
import { SweepSettings } from './sweep.ts'
import { Serial } from './unit.ts'
import { Judgement, Verdict } from './verdict.ts'

/** What one recording at one setting gave. */
export const SettingMeasurement = z.object({
  setting: z.string(),
  usable: z.boolean(),
  findings: z.array(Finding),
  /** Where the recording came from: a file name, or the rig. */
  origin: z.string(),
  rateHz: z.number(),
  /** Pure delay taken out of the phase, s. */
  delayS: z.number(),
  /** +1, or -1 when the response is upside down against the stimulus. */
  polarity: z.union([z.literal(1), z.literal(-1)]),
  /** null when the recording gave no curve. */
  gainAt1kHzDb: z.number().nullable(),
  /** null when the recording was refused before a curve could be made. */
  curve: ResponseCurve.nullable(),
  distortion: Distortion.nullable(),
  noise: Noise.nullable(),
})
export type SettingMeasurement = z.infer<typeof SettingMeasurement>

/** One visit of a unit to the rig. */
export const TestRun = z.object({
  id: z.string(),
  serial: Serial,
  productId: z.string(),
  revision: z.string(),
  startedAt: z.iso.datetime(),
  station: z.string(),
  rig: z.enum(['wave-files', 'simulated', 'sound-interface', 'upload']),
  /** The settings of the rig that it was measured through, correction and all; null for a rig without settings. */
  rigSettings: RigVersion.nullable().default(null),
  /** The rig's uncertainty that it was judged by, from a gauge study; null when it was the test plan's own. */
  rigUncertainty: RigUncertainty.nullable().default(null),
  sweep: SweepSettings,
  /** Version of the reference the run was judged by. */
  referenceVersion: z.number().int(),
  /** The rules it was judged by stand with the run, so that the verdict can be computed again. */
  planHash: z.string(),
  verdict: Verdict,
  judgement: Judgement,
  measurements: z.array(SettingMeasurement),
})
export type TestRun = z.infer<typeof TestRun>

export const TestRunSummary = TestRun.pick({
  id: true,
  serial: true,
  startedAt: true,
  verdict: true,
  rig: true,
  station: true,
}).extend({
  referenceVersion: z.number().int(),
  /** The first reason, for lists. */
  reason: z.string(),
})
export type TestRunSummary = z.infer<typeof TestRunSummary>
