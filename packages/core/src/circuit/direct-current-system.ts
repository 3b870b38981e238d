import type { CircuitElement, ControlPositions } from '../model/circuit.ts'
import { type BranchList, branchesOf } from './branch.ts'
import { solveDense } from './dense-solve.ts'
import { heldNodes } from './equations.ts'
import { diodeState, type JunctionState, zenerState } from './junction.ts'
import { type Netlist, parameterIndex } from './netlist.ts'
import { type OperationalAmplifierElement, outputSwing, softLimit } from './output-swing.ts'
import { fillPrimitives, trackShares } from './primitive.ts'
import { parseQuantity } from './quantity.ts'

type Of<Kind extends CircuitElement['kind']> = Extract<CircuitElement, { kind: Kind }>
type Junction = { element: Of<'diode'> | Of<'zener'>; law: (forwardV: number) => JunctionState }

/** Conductance to ground that gives a node between two capacitors a voltage, S. */
const leastConductanceS = 1e-13
/** Largest change of a voltage in one step of the search, V. */
const longestStepV = 3
/** Drive beyond which an op-amp's output no longer moves. */
const mostDrive = 1e4

/** The direct-current equations of a circuit and the voltages found so far. */
export class DirectCurrentSystem {
  private readonly list: BranchList
  private readonly primitives: Float64Array
  private readonly held: Map<string, number>
  private readonly unknowns: string[]
  private readonly row: Map<string, number>
  private readonly v: Float64Array
  /** Where on its characteristic each op-amp stands. */
  private readonly drive = new Map<string, number>()
  private readonly amplifiers: OperationalAmplifierElement[]
  private readonly junctions: Junction[]
  private readonly netlist: Netlist
  private readonly values: Float64Array

  constructor(netlist: Netlist, values: Float64Array, positions: ControlPositions) {
    this.netlist = netlist
    this.values = values
    this.list = branchesOf(netlist, values)
    const shares = trackShares(netlist, this.list.primitives, positions)
    this.primitives = fillPrimitives(this.list.primitives, values, shares, new Float64Array(shares.length))
    this.held = heldNodes(netlist, values, (source) => this.value(source.designator))
    this.unknowns = netlist.nodes.filter((n) => !this.held.has(n))
    this.row = new Map(this.unknowns.map((n, i) => [n, i]))
    this.v = new Float64Array(this.unknowns.length)
    this.amplifiers = netlist.elements.filter((e) => e.kind === 'op-amp')
    this.junctions = netlist.elements
      .filter((e) => e.kind === 'diode' || e.kind === 'zener')
      .map((element) => ({ element, law: lawOf(element) }))
  }

  /**
   * One step of Newton's method.
   *
   * @param caution share of a step that is taken at most
   * @returns the largest change of a voltage the step asked for, V
   */
  step(caution: number): number {
    const n = this.unknowns.length
    const a = new Float64Array(n * n)
    const b = new Float64Array(n)
    for (let i = 0; i < n; i++) a[i * n + i] = leastConductanceS
    this.stampBranches(a, b)
    for (const { element, law } of this.junctions) {
      const [anode, cathode] = element.nodes
      const forwardV = this.at(anode) - this.at(cathode)
      const { currentA, conductanceS } = law(forwardV)
      this.stampConductance(a, b, anode, cathode, conductanceS, currentA - conductanceS * forwardV)
    }
    for (const amplifier of this.amplifiers) this.stampAmplifier(a, b, amplifier)
    if (!solveDense(a, b)) return Number.POSITIVE_INFINITY
    let largest = 0
    for (let i = 0; i < n; i++) largest = Math.max(largest, Math.abs(b[i] - this.v[i]))
    const share = Math.min(caution, longestStepV / largest)
    for (let i = 0; i < n; i++) this.v[i] += share * (b[i] - this.v[i])
    return Math.max(largest, this.moveDrives())
  }

  nodeVoltages(): Record<string, number> {
    return Object.fromEntries([...this.held, ...this.unknowns.map((n, i) => [n, this.v[i]] as const)])
  }

  junctionStates(): { designator: string; conductanceS: number }[] {
    return this.junctions.map(({ element, law }) => {
      const [anode, cathode] = element.nodes
      return { designator: element.designator, ...law(this.at(anode) - this.at(cathode)) }
    })
  }

  /** @param stuckShare share of the swing beyond which an output counts as saturated */
  amplifierStates(stuckShare = 0.985) {
    return this.amplifiers.map((amplifier) => {
      const { designator, supplyNodes } = amplifier
      const { lowV, highV, middleV, spanV } = outputSwing(amplifier, this.at(supplyNodes[0]), this.at(supplyNodes[1]))
      const { e } = this.internalVoltage(amplifier)
      const saturated = spanV === 0 || Math.abs(e - middleV) > stuckShare * spanV
      return { designator, outputV: this.at(amplifier.nodes[2]), internalV: e, lowV, highV, saturated }
    })
  }

  supplyCurrents(): Record<string, number> {
    const supplies = this.netlist.elements.filter((e) => e.kind === 'source' && e.role === 'supply')
    return Object.fromEntries(supplies.map((s) => [s.designator, this.currentInto(s.nodes[0], s.designator)]))
  }

  /** Current that everything but one element draws from a node, A. */
  private currentInto(node: string, without: string): number {
    let sum = 0
    const count = (from: string, to: string, amps: number) => {
      if (from === node) sum += amps
      if (to === node) sum -= amps
    }
    for (const { designator, from, to, form, slots } of this.list.branches)
      if (designator !== without && !this.isJunction(designator))
        count(from, to, this.direct(form, slots) * (this.at(from) - this.at(to)))
    for (const { element, law } of this.junctions)
      count(element.nodes[0], element.nodes[1], law(this.at(element.nodes[0]) - this.at(element.nodes[1])).currentA)
    for (const amplifier of this.amplifiers) {
      const [positive, negative] = amplifier.supplyNodes
      count(positive, negative, this.quiescent(amplifier).currentA)
      const out = this.outputConductance(amplifier) * (this.internalVoltage(amplifier).e - this.at(amplifier.nodes[2]))
      count(out > 0 ? positive : negative, amplifier.nodes[2], out)
    }
    return sum
  }

  private value(name: string): number {
    return this.values[parameterIndex(this.netlist, name)]
  }
  private at(node: string): number {
    return this.held.get(node) ?? this.v[this.row.get(node) ?? -1]
  }

  private isJunction(designator: string): boolean {
    return this.junctions.some((j) => j.element.designator === designator)
  }

  private direct(form: string, slots: number[]): number {
    if (form === 'conductance') return this.primitives[slots[0]]
    // A winding without resistance is a short circuit for direct current.
    if (form === 'series-rl') return 1 / Math.max(1e-3, this.primitives[slots[1]])
    return 0
  }

  private stampBranches(a: Float64Array, b: Float64Array) {
    for (const { designator, role, from, to, form, slots } of this.list.branches) {
      const g = this.direct(form, slots)
      const source = role === 'source' ? this.value(designator) : 0
      // Diodes are branches of the small-signal equations; here their own law speaks.
      if (g > 0 && !this.isJunction(designator)) this.stampConductance(a, b, from, to, g, -g * source)
    }
  }

  /** A conductance with a constant current beside it, both from `from` to `to`. */
  private stampConductance(a: Float64Array, b: Float64Array, from: string, to: string, g: number, constantA: number) {
    for (const [node, other, sign] of [
      [from, to, 1],
      [to, from, -1],
    ] as const) {
      this.addTo(a, b, node, node, g)
      this.addTo(a, b, node, other, -g)
      const r = this.row.get(node)
      if (r !== undefined) b[r] -= sign * constantA
    }
  }

  private addTo(a: Float64Array, b: Float64Array, rowNode: string, columnNode: string, g: number) {
    const r = this.row.get(rowNode)
    if (r === undefined) return
    const c = this.row.get(columnNode)
    if (c === undefined) b[r] -= g * (this.held.get(columnNode) ?? 0)
    else a[r * this.unknowns.length + c] += g
  }

  private outputConductance({ designator }: OperationalAmplifierElement): number {
    return 1 / Math.max(1e-3, this.value(`${designator}.outputResistance`))
  }

  /**
   * The voltage behind the output resistance at the present point of its characteristic, with its slopes against the input
   * difference and the two supplies.
   */
  private internalVoltage(amplifier: OperationalAmplifierElement) {
    const swing = outputSwing(amplifier, this.at(amplifier.supplyNodes[0]), this.at(amplifier.supplyNodes[1]))
    const span = Math.max(swing.spanV, 1e-3)
    const gain = this.value(`${amplifier.designator}.openLoopGain`)
    const drive = this.drive.get(amplifier.designator) ?? 0
    const { value, slope } = softLimit(drive)
    return {
      // The middle of the swing is where a real output stage rests with its inputs equal.
      e: swing.middleV + span * value,
      gain: gain * slope,
      high: (1 + value) / 2,
      low: (1 - value) / 2,
      differenceV: (drive * span) / gain,
      span,
    }
  }

  /**
   * Moves each op-amp along its characteristic towards the drive that the new voltages ask for (1 is where the output would
   * reach its limit). From one side to the other it stops in the middle: there the characteristic has its slope, and the
   * next step knows where to go.
   *
   * @returns the largest change of an output that is still to come, V
   */
  private moveDrives(): number {
    let largest = 0
    for (const amplifier of this.amplifiers) {
      const { designator, nodes } = amplifier
      const { span } = this.internalVoltage(amplifier)
      const gain = this.value(`${designator}.openLoopGain`)
      const asked = Math.max(-mostDrive, Math.min(mostDrive, (gain * (this.at(nodes[0]) - this.at(nodes[1]))) / span))
      const now = this.drive.get(designator) ?? 0
      const crosses = asked * now < 0 && Math.abs(now) > 1 && Math.abs(asked) > 1
      const next = crosses ? 0 : asked
      largest = Math.max(largest, span * Math.abs(softLimit(next).value - softLimit(now).value))
      this.drive.set(designator, next)
    }
    return largest
  }

  private quiescent(amplifier: OperationalAmplifierElement) {
    const supplyV = this.at(amplifier.supplyNodes[0]) - this.at(amplifier.supplyNodes[1])
    const full = parseQuantity(amplifier.supplyCurrent, 'current')
    // Below half a volt an op-amp draws ever less, so that a dead supply does not turn negative.
    const t = Math.tanh(2 * supplyV)
    return { currentA: full * t, conductanceS: Math.max(full * 2 * (1 - t * t), 1e-12), supplyV }
  }

  private stampAmplifier(a: Float64Array, b: Float64Array, amplifier: OperationalAmplifierElement) {
    const [plus, minus, output] = amplifier.nodes
    const [positive, negative] = amplifier.supplyNodes
    const g = this.outputConductance(amplifier)
    const { e, gain, high, low, differenceV } = this.internalVoltage(amplifier)
    const slopes = [
      [plus, gain],
      [minus, -gain],
      [positive, high],
      [negative, low],
    ] as const
    const constant = e - gain * differenceV - high * this.at(positive) - low * this.at(negative)
    const rail = e > this.at(output) ? positive : negative
    // The current into the load comes out of one rail: the same terms with the opposite sign stand there.
    for (const [node, sign] of [
      [output, 1],
      [rail, -1],
    ] as const) {
      this.addTo(a, b, node, output, sign * g)
      for (const [input, k] of slopes) this.addTo(a, b, node, input, -sign * g * k)
      const r = this.row.get(node)
      if (r !== undefined) b[r] += sign * g * constant
    }
    const { currentA, conductanceS, supplyV } = this.quiescent(amplifier)
    this.stampConductance(a, b, positive, negative, conductanceS, currentA - conductanceS * supplyV)
  }
}

const lawOf = (element: Of<'diode'> | Of<'zener'>): Junction['law'] => {
  if (element.kind === 'diode') {
    const law = { saturationA: parseQuantity(element.saturationCurrent, 'current'), ideality: element.idealityFactor }
    return (v) => diodeState(law, v)
  }
  const law = {
    breakdownV: parseQuantity(element.breakdown, 'voltage'),
    dynamicOhm: parseQuantity(element.dynamicResistance, 'resistance'),
  }
  return (v) => zenerState(law, v)
}
