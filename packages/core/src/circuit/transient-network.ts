import type { ControlPositions } from '../model/circuit.ts'
import type { Amplifier, Branch } from './branch.ts'
import { compileCircuit } from './compile.ts'
import { solveDense } from './dense-solve.ts'
import type { Equations } from './equations.ts'
import type { Netlist } from './netlist.ts'
import { symmetricEigen } from './symmetric-eigen.ts'

/**
 * A circuit without its op-amps' gain, in steps of time: states q, inputs w = [signal, op-amp 1, op-amp 2 ...] (the voltages
 * behind the op-amps' output resistances).
 *   outputs = outState q + outInput w' ; q' = step q + stepInput w'
 * with w' the inputs at the end of the step. Outputs: the op-amps' input differences, then the output node. All matrices row
 * after row; with `diagonal` the step matrix is only its diagonal.
 */
export type TransientNetwork = {
  states: number
  inputs: number
  diagonal: boolean
  step: Float64Array
  stepInput: Float64Array
  outState: Float64Array
  outInput: Float64Array
  amplifiers: Amplifier[]
}

/** Output conductance that stands for an op-amp without output resistance, S. */
const stiffS = 1e3

/**
 * Replaces every capacitor and inductor by its companion of the trapezoidal rule and works out what one step does.
 *
 * @param values for small signals, but with the op-amps' gains as they are (the gain is not used here)
 * Source: companion models: L. O. Chua and P.-M. Lin, "Computer-Aided Analysis of Electronic Circuits", chapter 17.
 */
export const transientNetwork = (options: {
  netlist: Netlist
  values: Float64Array
  positions: ControlPositions
  stepS: number
}): TransientNetwork => {
  const { netlist, values, positions, stepS } = options
  const circuit = compileCircuit(netlist, { values })
  const { equations } = circuit
  const primitives = circuit.primitives(values, circuit.shares(positions))
  const { amplifiers } = equations.list
  const companions = equations.list.branches.map((b) => companionOf(b, primitives, stepS))
  const dynamic = companions.filter((c) => c.storage !== 'none')
  const inputs = 1 + amplifiers.length
  const outGain = amplifiers.map((a) => (a.gOut >= 0 ? primitives[a.gOut] : stiffS))
  const solve = nodeSolver(equations, companions, outGain)
  // Node voltages for a unit of each state and of each input.
  const byState = dynamic.map((c) =>
    solve((put) => {
      put(c.branch.from, c.sign * c.share)
      put(c.branch.to, -c.sign * c.share)
    }, 0),
  )
  const byInput = Array.from({ length: inputs }, (_, k) =>
    k === 0 ? solve(() => {}, 1) : solve((put) => put(amplifiers[k - 1].output, outGain[k - 1]), 0),
  )
  const columns = [...byState, ...byInput]
  const probes = [...amplifiers.map((a) => [a.plus, a.minus] as const), [netlist.output, netlist.ground] as const]
  const rows = probes.map(([a, b]) => columns.map((c) => c(a) - c(b)))
  const advance = dynamic.map((c, i) => columns.map((column, j) => stateChange(c, column, i === j)))
  const n = dynamic.length
  const split = (matrix: number[][], from: number, to: number) =>
    Float64Array.from(matrix.flatMap((r) => r.slice(from, to)))
  const network: TransientNetwork = {
    states: n,
    inputs,
    diagonal: false,
    step: split(advance, 0, n),
    stepInput: split(advance, n, n + inputs),
    outState: split(rows, 0, n),
    outInput: split(rows, n, n + inputs),
    amplifiers,
  }
  return dynamic.every((c) => c.sign > 0) ? diagonalise(network, dynamic) : network
}

/** What a state becomes in one step, for a unit of the state or input that caused the node voltages `at`. */
const stateChange = (
  { branch, conductance, share, sign }: Companion,
  at: (node: string) => number,
  own: boolean,
): number => {
  const kept = own ? sign * (1 - 2 * share) : 0
  return 2 * conductance * (at(branch.from) - at(branch.to)) + kept
}

type Companion = {
  branch: Branch
  storage: 'none' | 'capacitor' | 'inductor'
  /** Current = conductance · voltage − sign · share · state. */
  conductance: number
  share: number
  sign: 1 | -1
  /** Conductance of the bare capacitor's companion; scales the state to make the step matrix symmetric. */
  scale: number
}

const companionOf = (branch: Branch, primitives: Float64Array, stepS: number): Companion => {
  const [a, b] = branch.slots.map((s) => primitives[s])
  const none = { branch, storage: 'none' as const, conductance: a, share: 0, sign: 1 as const, scale: 1 }
  if (branch.form === 'conductance') return none
  if (branch.form === 'series-rl') {
    const share = 1 / (1 + (b * stepS) / (2 * a))
    return { branch, storage: 'inductor', conductance: (share * stepS) / (2 * a), share, sign: -1, scale: 1 }
  }
  const bare = (2 * a) / stepS
  const share = branch.form === 'series-rc' ? 1 / (1 + b * bare) : 1
  return { branch, storage: 'capacitor', conductance: share * bare, share, sign: 1, scale: bare }
}

/** Solves for node voltages with currents put into nodes and the signal source at a voltage. */
const nodeSolver = (equations: Equations, companions: Companion[], outGain: number[]) => {
  const { unknowns, indexOf, held, list, netlist } = equations
  const n = unknowns.length
  const source = netlist.elements.find((e) => e.kind === 'source' && e.role === 'signal')
  return (inject: (put: (node: string, amps: number) => void) => void, signalV: number) => {
    const a = new Float64Array(n * n)
    const b = new Float64Array(n)
    const voltage = (node: string) => signalV * (held.get(node) ?? 0)
    const put = (node: string, amps: number) => {
      const r = indexOf.get(node)
      if (r !== undefined) b[r] += amps
    }
    const conductance = (row: string, column: string, g: number) => {
      const r = indexOf.get(row)
      if (r === undefined) return
      const c = indexOf.get(column)
      if (c === undefined) b[r] -= g * voltage(column)
      else a[r * n + c] += g
    }
    for (const { branch, conductance: g } of companions) {
      const { from, to } = branch
      for (const [row, column] of [
        [from, to],
        [to, from],
      ] as const) {
        conductance(row, row, g)
        conductance(row, column, -g)
      }
      if (branch.role === 'source' && branch.designator === source?.designator) {
        put(from, g * signalV)
        put(to, -g * signalV)
      }
    }
    for (const [k, { output }] of list.amplifiers.entries()) conductance(output, output, outGain[k])
    inject(put)
    if (!solveDense(a, b)) throw new Error('The companion equations are singular.')
    return (node: string) => {
      const i = indexOf.get(node)
      return i === undefined ? voltage(node) : b[i]
    }
  }
}

/**
 * A network of resistors and capacitors steps along its own modes: with the states scaled by the root of their companion
 * conductance the step matrix is symmetric, and in its eigenvectors each state goes its own way.
 */
const diagonalise = (network: TransientNetwork, dynamic: Companion[]): TransientNetwork => {
  const { states: n, inputs, step, stepInput, outState } = network
  const root = dynamic.map((c) => Math.sqrt(c.scale))
  const symmetric = new Float64Array(n * n)
  for (let i = 0; i < n; i++)
    for (let j = 0; j < n; j++)
      symmetric[i * n + j] = ((step[i * n + j] * root[j]) / root[i] + (step[j * n + i] * root[i]) / root[j]) / 2
  const { values, vectors } = symmetricEigen(symmetric, n)
  const modeInput = new Float64Array(n * inputs)
  const modeOut = new Float64Array(outState.length)
  vectors.forEach((vector, m) => {
    for (let k = 0; k < inputs; k++)
      for (let i = 0; i < n; i++) modeInput[m * inputs + k] += (vector[i] / root[i]) * stepInput[i * inputs + k]
    for (let o = 0; o < outState.length / n; o++)
      for (let i = 0; i < n; i++) modeOut[o * n + m] += outState[o * n + i] * root[i] * vector[i]
  })
  return { ...network, diagonal: true, step: values, stepInput: modeInput, outState: modeOut }
}
