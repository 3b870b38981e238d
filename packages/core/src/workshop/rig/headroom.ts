import { operatingPointOf } from '../../circuit/operating-point.ts'
import { prepareCircuit } from '../../circuit/prepare-circuit.ts'
import { gainDbOf, responseOf } from '../../circuit/response.ts'
import { positionsOf } from '../../circuit/simulate-recording.ts'
import { BoardwrightError } from '../../model/error.ts'
import type { Product } from '../../model/product.ts'
import { levelOfVoltage } from '../../response/level/level-calibration.ts'
import { findProduct } from '../find-product.ts'
import type { VerbContext } from '../verb-context.ts'
import type { Headroom, NamedRig } from './rig-verbs.ts'
import { needRig } from './save-rig-settings.ts'

/** Healthy boards are louder than computed by this at most, dB; kept free below full scale. Common practice, no source. */
const reserveDb = 3
/** Where the largest gain is looked for, Hz. */
const gridHz = Array.from({ length: 61 }, (_, i) => 20 * 1000 ** (i / 60))

/**
 * How loud the sweep comes back through the board that amplifies most, by the circuit twin and the noise check.
 * Errors: bad-argument before a noise check, no-rig, not-found.
 */
export function headroom(context: VerbContext, what: NamedRig & { productId?: string }): Headroom {
  const { noise, maxLevelDbfs, calibration, name } = needRig(context, what)
  if (!noise) throw new BoardwrightError('bad-argument', `The input of the rig "${name}" was not checked yet.`)
  const product = findProduct(context, what.productId)
  const { levelV, stimulus } = product.testPlan
  const sweepDbfs = calibration
    ? levelOfVoltage({ peakV: levelV, fullScaleV: calibration.fullScaleOutV })
    : stimulus.levelDbfs
  const boardGainDb = largestGainDb(product)
  const expectedPeakDbfs = sweepDbfs + (noise.loudestDbfs - maxLevelDbfs) + boardGainDb
  return { boardGainDb, expectedPeakDbfs, turnDownDb: Math.max(0, expectedPeakDbfs + reserveDb) }
}

function largestGainDb(product: Product): number {
  const netlist = prepareCircuit(product.circuit)
  const gains = product.testPlan.settings.map((setting) => {
    const positions = positionsOf(product, setting)
    const { values } = operatingPointOf({ netlist, positions })
    return Math.max(...gainDbOf(responseOf({ netlist, values, positions, frequencyHz: gridHz })))
  })
  return Math.max(...gains)
}
