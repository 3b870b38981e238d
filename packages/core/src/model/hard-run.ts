import { z } from 'zod'
import { HardSignature } from './hard-signature.ts'
import { RigVersion } from './rig.ts'
import { TestRun } from './test-run.ts'
import { Serial } from './unit.ts'
import { Verdict } from './verdict.ts'

/** One reason of a verdict about a board pressed hard. */
export const HardReason = z.object({
  code: z.enum(['clip-point', 'swing', 'symmetry', 'gain', 'harmonic', 'sign', 'recording', 'passed']),
  verdict: Verdict,
  message: z.string(),
  supply: z.string().optional(),
})
export type HardReason = z.infer<typeof HardReason>

export const HardJudgement = z.object({
  verdict: Verdict,
  reasons: z.array(HardReason).min(1),
  /** Clipping in words, one sentence a supply. */
  character: z.array(z.string()),
})
export type HardJudgement = z.infer<typeof HardJudgement>

/** One visit of a unit to the rig to be pressed hard. */
export const HardRun = z.object({
  id: z.string(),
  serial: Serial,
  productId: z.string(),
  revision: z.string(),
  startedAt: z.iso.datetime(),
  station: z.string(),
  rig: TestRun.shape.rig,
  /** The settings of the rig it was measured through; null for a rig without any. */
  rigSettings: RigVersion.nullable(),
  /** Version of the reference signature it was judged by. */
  referenceVersion: z.number().int(),
  /** The rules it was judged by. */
  planHash: z.string(),
  verdict: Verdict,
  judgement: HardJudgement,
  signature: HardSignature,
})
export type HardRun = z.infer<typeof HardRun>

export const HardRunSummary = HardRun.pick({
  id: true,
  serial: true,
  startedAt: true,
  verdict: true,
  rig: true,
  station: true,
  referenceVersion: true,
}).extend({ /** The first reason. */ reason: z.string() })
export type HardRunSummary = z.infer<typeof HardRunSummary>

/** The reference board pressed hard: every take is kept, mean and spread are worked out of them. */
export const HardReference = z.object({
  productId: z.string(),
  version: z.number().int().min(1),
  revision: z.string(),
  createdAt: z.iso.datetime(),
  station: z.string(),
  note: z.string(),
  takes: z.array(HardSignature).min(1),
})
export type HardReference = z.infer<typeof HardReference>
