import type { InspectionStatus, LotReading } from '../../model/lot-inspection.ts'
import type { IncomingInspection } from '../../model/part.ts'
import { samplingPlan } from '../../statistics/sampling-plan.ts'

/** How many pieces are tried, and how many bad ones are one too many. Source: ISO 2859-1 (see statistics/sampling-plan.ts). */
function planOf(inspection: IncomingInspection, lotSize: number) {
  // Who tries every piece sorts the bad ones out; the lot is as good as its good pieces only when none is bad.
  if (inspection.kind !== 'sample' || lotSize < 2) return { sampleSize: lotSize, acceptanceNumber: 0, inspectAll: true }
  const { level, acceptanceQualityLimitPercent: acceptanceQualityLimit } = inspection
  return samplingPlan({ lotSize, level, acceptanceQualityLimit, severity: 'normal' })
}

/**
 * Where the inspection of a lot stands. It ends as soon as nothing can change it: too many bad ones, or the sample is tried.
 * @returns null for a part that is not inspected
 */
export function inspectionStatus(options: {
  inspection: IncomingInspection
  lotSize: number
  readings: readonly LotReading[]
}): InspectionStatus | null {
  const { inspection, lotSize, readings } = options
  if (inspection.kind === 'none') return null
  const { sampleSize, acceptanceNumber, inspectAll } = planOf(inspection, lotSize)
  const tried = readings.length
  const bad = readings.filter(({ good }) => !good).length
  const outcome = bad > acceptanceNumber ? 'not-accept' : tried >= sampleSize ? 'accept' : 'more'
  return { sampleSize, acceptanceNumber, inspectAll, tried, bad, outcome }
}
