import type { TestPlan } from '../../model/product.ts'
import type { Reference } from '../../model/reference.ts'
import type { SettingMeasurement } from '../../model/test-run.ts'

/** What every part of the judge looks at: the rules, what is compared with, and what was measured per setting. */
export interface JudgeContext {
  plan: TestPlan
  reference: Reference
  measured: ReadonlyMap<string, SettingMeasurement>
}

/** A measurement with the curve that may be judged. */
export type UsableMeasurement = SettingMeasurement & {
  curve: NonNullable<SettingMeasurement['curve']>
  gainAt1kHzDb: number
}

/** True for a measurement that proves something: no check refused it, and it has a curve. */
export const isUsable = (measurement: SettingMeasurement | undefined): measurement is UsableMeasurement =>
  measurement?.usable === true && measurement.curve !== null && measurement.gainAt1kHzDb !== null
