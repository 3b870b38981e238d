import type { WorkRecord } from '../model/build.ts'

/** How long a step usually takes. */
export interface StepPace {
  step: string
  /** Median time worked on it per unit, s. */
  medianS: number
  /** How many times that is the median of. */
  times: number
}

/** The median of the times that were taken, step by step, in the order in which the steps first occur. */
export function stepPace(records: readonly Pick<WorkRecord, 'step' | 'mark' | 'workedS'>[]): StepPace[] {
  const byStep = new Map<string, number[]>()
  for (const { step, mark, workedS } of records)
    if (mark === 'done' && workedS !== null) byStep.set(step, [...(byStep.get(step) ?? []), workedS])
  return [...byStep].map(([step, times]) => ({ step, medianS: median(times), times: times.length }))
}

function median(values: readonly number[]): number {
  const sorted = [...values].sort((one, other) => one - other)
  const middle = sorted.length / 2
  return sorted.length % 2 === 1 ? sorted[Math.floor(middle)]! : (sorted[middle - 1]! + sorted[middle]!) / 2
}
