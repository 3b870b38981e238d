import type { Product } from '../model/product.ts'
import { normalProbability } from '../statistics/normal.ts'
import { applyFaults } from './apply-fault.ts'
import type { Fault } from './fault.ts'
import type { Netlist } from './netlist.ts'
import type { Parameter } from './parameter.ts'
import { prepareCircuit } from './prepare-circuit.ts'
import { RandomSource, seedOf } from './random.ts'

/** How values lie within their tolerance: all at nominal, evenly, or normally with the tolerance at three sigma. */
export type Spread = 'none' | 'uniform' | 'normal'

/** One board as it was built: its circuit with any faults, and the values its parts happen to have. */
export type Board = { netlist: Netlist; values: Float64Array; faults: readonly Fault[]; seed: number }

/**
 * Builds one board at random.
 *
 * @param options `product`; `seed` decides everything; `spread` (`uniform`); `faults` put in (none); `lotSeed`: boards with
 *   the same one are built from the same part lots (each board from its own); `lotShare` in the circuit says how much a lot
 *   has in common
 */
export const drawBoard = (options: {
  product: Pick<Product, 'circuit'>
  seed: number
  spread?: Spread
  faults?: readonly Fault[]
  lotSeed?: number
}): Board => {
  const { product, seed, spread = 'uniform', faults = [], lotSeed = seed } = options
  const netlist = prepareCircuit(applyFaults(product.circuit, faults))
  const values = netlist.nominal.slice()
  netlist.parameters.forEach((parameter, i) => {
    const own = new RandomSource(seedOf(seed, `part ${parameter.group}`)).normal()
    const lot = new RandomSource(seedOf(lotSeed, `lot ${lotOf(parameter)}`)).normal()
    values[i] *= spreadFactor(parameter, spread, lotDeviate(parameter.lotShare, lot, own))
  })
  return { netlist, values, faults, seed }
}

/** Parts of the same kind and value come from the same lot. */
export const lotOf = ({ dimension, kind, nominal }: Parameter): string => `${dimension} ${kind} ${nominal}`

/** A standard normal number of which `lotShare` of the variance is the lot's. */
export const lotDeviate = (lotShare: number, lot: number, own: number): number =>
  Math.sqrt(lotShare) * lot + Math.sqrt(1 - lotShare) * own

/** Factor on the nominal value for a standard normal number. */
export const spreadFactor = ({ spreadLow, spreadHigh }: Parameter, spread: Spread, deviate: number): number => {
  if (spread === 'none' || spreadLow === spreadHigh) return 1
  // The normal probability turns the deviate into a share of the whole width, so that lots can be mixed in either law.
  const share = spread === 'uniform' ? normalProbability({ z: deviate }) : 0.5 + Math.min(3, Math.max(-3, deviate)) / 6
  return 1 + spreadLow + (spreadHigh - spreadLow) * share
}
