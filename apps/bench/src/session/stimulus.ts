import {
  BoardwrightError,
  formatVoltage,
  levelOfVoltage,
  makeSweep,
  type Product,
  type RigSettings,
  type SweepSignal,
} from '@boardwright/core'

/** The stimuli are kept: making one and its inverse anew for every unit would delay each verdict. */
const stimuli = new WeakMap<Product, Map<string, SweepSignal>>()

/**
 * The stimulus of the test plan. A rig plays it at its own rate; one whose levels are calibrated plays it so that the board
 * gets the voltage of the plan, whatever full scale is there.
 * Errors: level-too-high when the output cannot reach that voltage.
 */
export function stimulusOf(product: Product, rig?: RigSettings): SweepSignal {
  const { stimulus } = product.testPlan
  const settings = { ...stimulus, rateHz: rig?.rateHz ?? stimulus.rateHz, levelDbfs: levelOf(product, rig) }
  const key = `${settings.rateHz} ${settings.levelDbfs}`
  const ofProduct = stimuli.get(product) ?? new Map<string, SweepSignal>()
  stimuli.set(product, ofProduct)
  const sweep = ofProduct.get(key) ?? makeSweep(settings)
  ofProduct.set(key, sweep)
  return sweep
}

function levelOf({ testPlan }: Product, rig: RigSettings | undefined): number {
  if (!rig?.calibration) return testPlan.stimulus.levelDbfs
  const { fullScaleOutV } = rig.calibration
  const levelDbfs = levelOfVoltage({ peakV: testPlan.levelV, fullScaleV: fullScaleOutV })
  if (levelDbfs > 0)
    throw new BoardwrightError(
      'level-too-high',
      `The test plan wants ${formatVoltage(testPlan.levelV)} at the board; the output gives ${formatVoltage(fullScaleOutV)} at most.`,
    )
  return Number(levelDbfs.toFixed(2))
}
