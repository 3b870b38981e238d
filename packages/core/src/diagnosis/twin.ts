import { type CompiledCircuit, compileCircuit } from '../circuit/compile.ts'
import { withFaultPlaces } from '../circuit/fault-netlist.ts'
import type { Netlist } from '../circuit/netlist.ts'
import { prepareCircuit } from '../circuit/prepare-circuit.ts'
import type { Circuit } from '../model/circuit.ts'
import { type Latents, latentsOf } from './latents.ts'

/** A circuit made ready for diagnosis: compiled once, with a place for every fault of a single part. */
export type Twin = {
  /** As it stands in the product file, or with a fault that moves connections. */
  plain: Circuit
  netlist: Netlist
  circuit: CompiledCircuit
  latents: Latents
}

/** Gain of an op-amp whose output is stuck at a rail, V/V: see `operating-point.ts`. */
const stuckGain = 1e-9

const twins = new WeakMap<Circuit, Twin>()

/**
 * The twin of a circuit; made once for a circuit object and kept.
 *
 * @throws BoardwrightError `bad-circuit`, `bad-quantity`
 */
export const twinOf = (plain: Circuit): Twin => {
  const kept = twins.get(plain)
  if (kept) return kept
  const netlist = prepareCircuit(withFaultPlaces(plain))
  // The order of elimination must be good for live op-amps and for stuck ones: both are among its samples.
  const stuck = netlist.nominal.slice()
  netlist.parameters.forEach(({ kind }, i) => {
    if (kind === 'openLoopGain') stuck[i] = stuckGain
  })
  const twin = { plain, netlist, circuit: compileCircuit(netlist, { values: stuck }), latents: latentsOf(netlist) }
  twins.set(plain, twin)
  return twin
}
