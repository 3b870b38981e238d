import { makeSweep, type Product, type SweepSignal } from '@boardwright/core'

/** The stimuli are kept: making one and its inverse anew for every unit would delay each verdict. */
const stimuli = new WeakMap<Product, Map<number, SweepSignal>>()

/** The stimulus of the test plan, at the rate of the rig (Hz) or, without one, at the plan's. */
export function stimulusOf(product: Product, rateHz = product.testPlan.stimulus.rateHz): SweepSignal {
  const ofProduct = stimuli.get(product) ?? new Map<number, SweepSignal>()
  stimuli.set(product, ofProduct)
  const sweep = ofProduct.get(rateHz) ?? makeSweep({ ...product.testPlan.stimulus, rateHz })
  ofProduct.set(rateHz, sweep)
  return sweep
}
