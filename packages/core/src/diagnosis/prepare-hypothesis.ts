import { applyFaults, pinStrayF } from '../circuit/apply-fault.ts'
import type { Fault } from '../circuit/fault.ts'
import { type ExtraBranch, faultChangeOf, type ValueChange } from '../circuit/fault-change.ts'
import { parameterIndex } from '../circuit/netlist.ts'
import type { ControlPositions } from '../model/circuit.ts'
import { branchChange, type DirectChange, restsAsDesigned } from './direct-screen.ts'
import { designStateOf, directStateOf, type Override, overridesOf } from './direct-state.ts'
import type { Hypothesis } from './hypothesis.ts'
import { type Twin, twinOf } from './twin.ts'

/** A hypothesis worked into numbers: what to change in the value vector, what to put between nodes, and how the board rests. */
export type PreparedHypothesis = {
  hypothesis: Hypothesis
  /** The product's own twin, or one with connections moved. */
  twin: Twin
  changes: (ValueChange & { index: number })[]
  branches: readonly ExtraBranch[]
  /** Designator of a potentiometer that is turned round. */
  turned?: string
  /** What changes at rest, where that is a matter of resistances alone; undefined where it is not. */
  direct: readonly DirectChange[] | undefined
  /** False when the design itself does not work at rest, so that nothing can be said of it. */
  restKnown: boolean
  overrides: WeakMap<ControlPositions, Override[]>
}

/** Works out what a hypothesis means for the numbers of a twin. */
export const prepareHypothesis = (twin: Twin, hypothesis: Hypothesis): PreparedHypothesis => {
  const { fault } = hypothesis
  const restKnown = designStateOf(twin, {}).works
  const common = { hypothesis, restKnown, overrides: new WeakMap<ControlPositions, Override[]>() }
  if (fault === null) return { ...common, twin, changes: [], branches: [], direct: [] }
  const change = faultChangeOf(twin.plain, fault)
  if (!change) {
    const moved = twinOf(applyFaults(twin.plain, [fault]))
    return { ...common, twin: moved, changes: strayOf(moved, fault), branches: [], direct: undefined }
  }
  const changes = change.values.map((v) => ({ ...v, index: parameterIndex(twin.netlist, v.name) }))
  const { branches, turned } = change
  const direct = turned === undefined ? directChanges(twin, changes, branches) : undefined
  return { ...common, twin, changes, branches, turned, direct }
}

/** How near the pin is to the pad it misses is fitted: it sets how faint the board is heard. */
const strayOf = ({ netlist }: Twin, { kind }: Fault): PreparedHypothesis['changes'] =>
  kind === 'pin-open' ? [{ name: stray, rule: 'set', amount: pinStrayF, index: parameterIndex(netlist, stray) }] : []

/** What `applyFaults` calls the capacitance between a pin and its pad. */
const stray = 'ZC1'

/** Numbers that do nothing at rest. */
const silentAtRest = new Set(['gainBandwidth', 'secondPole', 'seriesResistance', 'inputCapacitance'])

/** The change as conductances at rest; undefined when it is not of that form. */
const directChanges = (
  { netlist }: Twin,
  changes: PreparedHypothesis['changes'],
  branches: readonly ExtraBranch[],
): DirectChange[] | undefined => {
  const direct = branches.map(branchChange)
  for (const { index, rule, amount } of changes) {
    const { kind, dimension, designator } = netlist.parameters[index]
    const element = netlist.elements.find((e) => e.designator === designator)
    const winding = element?.kind === 'inductor'
    if ((silentAtRest.has(kind) && !winding) || (kind === 'value' && dimension === 'capacitance')) continue
    if (dimension !== 'resistance' || (element?.kind !== 'resistor' && element?.kind !== 'capacitor')) return undefined
    const before = netlist.nominal[index]
    const siemens = 1 / changed(before, rule, amount) - 1 / before
    direct.push({ from: element.nodes[0], to: element.nodes[1], siemens })
  }
  return direct
}

/** The value vector of a hypothesis with everything else as designed. */
export const nominalValues = ({ twin, changes }: PreparedHypothesis): Float64Array => {
  const values = twin.netlist.nominal.slice()
  for (const { index, rule, amount } of changes) values[index] = changed(values[index], rule, amount)
  return values
}

export const changed = (value: number, rule: ValueChange['rule'], amount: number): number =>
  rule === 'set' ? amount : rule === 'add' ? value + amount : (value * amount) / (value + amount)

/** Op-amps that a fault keeps from drawing current. */
const idleAmplifiers = ({ kind, designators }: Hypothesis): readonly string[] =>
  kind === 'amplifier-dead' || kind === 'amplifier-stuck' ? designators : []

/** The resting point under a hypothesis, everything else as designed. */
export const restingPoint = (prepared: PreparedHypothesis, positions: ControlPositions) =>
  directStateOf({
    netlist: prepared.twin.netlist,
    values: nominalValues(prepared),
    positions,
    branches: prepared.branches,
    idle: idleAmplifiers(prepared.hypothesis),
  })

/** What the resting point under a hypothesis changes in the small-signal values at a setting; worked out once. */
export const overridesAt = (prepared: PreparedHypothesis, positions: ControlPositions): Override[] => {
  const { twin, restKnown, overrides, direct } = prepared
  if (!restKnown) return []
  const found = overrides.get(positions)
  if (found) return found
  const made =
    direct && restsAsDesigned(twin, positions, direct)
      ? designStateOf(twin, positions).overrides
      : overridesOf(nominalValues(prepared), restingPoint(prepared, positions))
  overrides.set(positions, made)
  return made
}
