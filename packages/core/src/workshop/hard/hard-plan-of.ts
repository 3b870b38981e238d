import { BoardwrightError } from '../../model/error.ts'
import type { HardPlan } from '../../model/hard-plan.ts'
import type { Product, TestPlan } from '../../model/product.ts'

/** The test plan of a product that is pressed hard. Errors: no-hard-plan. */
export function planWithHard(product: Product): TestPlan & { hard: HardPlan } {
  const { hard } = product.testPlan
  if (!hard)
    throw new BoardwrightError(
      'no-hard-plan',
      `The test plan of ${product.name} revision ${product.revision} does not say how a board is pressed hard.`,
    )
  return { ...product.testPlan, hard }
}
