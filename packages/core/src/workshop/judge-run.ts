import type { Product } from '../model/product.ts'
import type { Reference } from '../model/reference.ts'
import type { SettingMeasurement } from '../model/test-run.ts'
import type { Judgement } from '../model/verdict.ts'
import { judge } from '../response/judge/judge.ts'
import { judgeShape, withShape } from './judge-shape.ts'

/**
 * The whole judgement of one visit to the rig: bands, gain, distortion, noise and mirror, then the shape of all curves
 * together where the test plan asks for it.
 * Errors: bad-argument, bad-circuit, bad-quantity.
 */
export function judgeRun(options: {
  product: Product
  reference: Reference
  measurements: readonly SettingMeasurement[]
}): Judgement {
  const judgement = judge({ ...options, plan: options.product.testPlan })
  return withShape(judgement, judgeShape(options))
}
