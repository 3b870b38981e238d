import type { TestPlan } from '../model/product.ts'
import { SweepSettings } from '../model/sweep.ts'
import { makeSweep } from '../response/sweep/sweep.ts'
import type { SweepSignal } from '../response/sweep/sweep-signal.ts'

/** The last few stimuli: making one costs as much as a good part of the analysis, and its inverse filter stays with it. */
const kept = new Map<string, SweepSignal>()
const keptAtMost = 4

/**
 * The test plan's stimulus at the rate of a recording. At a rate that no sweep can have, the plan's own: the recording
 * check then says that the rate is wrong.
 */
export function planSweep(plan: Pick<TestPlan, 'stimulus'>, rateHz: number): SweepSignal {
  const atRate = SweepSettings.safeParse({ ...plan.stimulus, rateHz })
  const settings = atRate.success ? atRate.data : plan.stimulus
  const key = JSON.stringify(settings)
  const known = kept.get(key)
  if (known) return known
  const made = makeSweep(settings)
  if (kept.size >= keptAtMost) kept.delete([...kept.keys()][0])
  kept.set(key, made)
  return made
}
