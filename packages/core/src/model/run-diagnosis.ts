import { z } from 'zod'
import { Diagnosis } from './diagnosis.ts'
import { SettingMeasurement } from './test-run.ts'
import { Serial } from './unit.ts'

/** A sweep beyond those of the run: at another setting, or read with a probe at a node. */
export const FurtherSweep = z.object({
  /** null: read at the board's output. */
  node: z.string().nullable(),
  measurement: SettingMeasurement,
})
export type FurtherSweep = z.infer<typeof FurtherSweep>

/** What is known of a failed board beyond the sweeps of its run. */
export const Evidence = z.object({
  /** Current the board takes from its supply, A. */
  supplyCurrentA: z.number().nonnegative().max(10).nullable(),
  /** Direct voltages against ground, V, by node of the circuit. */
  nodeVoltagesV: z.record(z.string(), z.number().min(-1000).max(1000)),
  sweeps: z.array(FurtherSweep),
  /** Parts that were measured by themselves: found as drawn, and found wrong. */
  soundParts: z.array(z.string()),
  faultyParts: z.array(z.string()),
})
export type Evidence = z.infer<typeof Evidence>

export const noEvidence: Evidence = {
  supplyCurrentA: null,
  nodeVoltagesV: {},
  sweeps: [],
  soundParts: [],
  faultyParts: [],
}

/** The diagnosis of a test run, with what it was made from. */
export const RunDiagnosis = z.object({
  /** null: worked out just now, and not kept. */
  id: z.number().int().positive().nullable(),
  runId: z.string(),
  serial: Serial,
  at: z.iso.datetime(),
  station: z.string(),
  evidence: Evidence,
  diagnosis: Diagnosis,
})
export type RunDiagnosis = z.infer<typeof RunDiagnosis>
