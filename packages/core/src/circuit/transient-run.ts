import type { TransientNetwork } from './transient-network.ts'

/** An op-amp's law for one run, all as deviations from the resting point. */
export type AmplifierLaw = {
  /** 2π times the gain-bandwidth product, and times the dominant pole, rad/s. */
  unityRad: number
  poleRad: number
  /** Time constant of the second pole, s; 0 when there is none. */
  secondS: number
  slewVs: number
  lowV: number
  highV: number
  /** Rate at which a stuck op-amp pushes further against its limit at rest, V/s. */
  pushVs: number
}

/**
 * Steps a network with its op-amps through a signal. The network is taken by the trapezoidal rule, the op-amps' integrators
 * by the backward Euler rule, which does not ring when an output leaves its limit.
 *
 * @param limited false leaves out swing and slew rate: the same rule without the non-linear part
 * @returns output, one number per input sample
 */
export const runTransient = (
  network: TransientNetwork,
  laws: readonly AmplifierLaw[],
  signal: Float64Array,
  stepS: number,
  limited: boolean,
): Float64Array => {
  const { states: n, inputs, diagonal, step, stepInput, outState, outInput } = network
  const count = laws.length
  const amplifiers = new AmplifierStep(network, laws, stepS, limited)
  let q = new Float64Array(n)
  let next = new Float64Array(n)
  const w = new Float64Array(inputs)
  const difference = new Float64Array(count)
  const output = new Float64Array(signal.length)
  const last = count * n
  for (let t = 0; t < signal.length; t++) {
    w[0] = signal[t]
    for (let k = 0; k < count; k++) {
      let sum = outInput[k * inputs] * w[0]
      for (let i = 0, o = k * n; i < n; i++) sum += outState[o + i] * q[i]
      difference[k] = sum
    }
    amplifiers.advance(difference, w)
    let y = 0
    for (let i = 0; i < n; i++) y += outState[last + i] * q[i]
    for (let k = 0; k < inputs; k++) y += outInput[count * inputs + k] * w[k]
    output[t] = y
    for (let i = 0; i < n; i++) {
      let sum = 0
      if (diagonal) sum = step[i] * q[i]
      else for (let j = 0; j < n; j++) sum += step[i * n + j] * q[j]
      for (let k = 0, o = i * inputs; k < inputs; k++) sum += stepInput[o + k] * w[k]
      next[i] = sum
    }
    ;[q, next] = [next, q]
  }
  return output
}

/** The op-amps' share of a step: small linear equations when all are free, and bounds where one is not. */
class AmplifierStep {
  private readonly e: Float64Array
  private readonly f: Float64Array
  private readonly coupling: Float64Array
  private readonly inverse: Float64Array
  private readonly right: Float64Array
  private readonly bound: Float64Array
  private readonly fixed: Uint8Array
  private readonly keep: Float64Array
  private readonly laws: readonly AmplifierLaw[]
  private readonly stepS: number
  private readonly limited: boolean

  constructor(network: TransientNetwork, laws: readonly AmplifierLaw[], stepS: number, limited: boolean) {
    const n = laws.length
    this.laws = laws
    this.stepS = stepS
    this.limited = limited
    this.e = new Float64Array(n)
    this.f = new Float64Array(n)
    this.right = new Float64Array(n)
    this.bound = new Float64Array(n)
    this.fixed = new Uint8Array(n)
    // Behind a second pole the output follows with share `keep` of its old value.
    this.keep = Float64Array.from(laws, (l) => l.secondS / (l.secondS + stepS))
    this.coupling = new Float64Array(n * n)
    for (let i = 0; i < n; i++)
      for (let j = 0; j < n; j++)
        this.coupling[i * n + j] = stepS * laws[i].unityRad * network.outInput[i * network.inputs + 1 + j]
    this.inverse = this.solveFree()
  }

  /**
   * @param difference input differences without the op-amps' own new voltages
   * @param w inputs of the network; places 1 and on are filled
   */
  advance(difference: Float64Array, w: Float64Array) {
    const { e, f, right, coupling, keep, inverse, laws, stepS } = this
    const n = laws.length
    for (let i = 0; i < n; i++) {
      let sum = e[i] + stepS * laws[i].unityRad * difference[i] + stepS * laws[i].pushVs
      for (let j = 0; j < n; j++) sum += coupling[i * n + j] * keep[j] * f[j]
      right[i] = sum
    }
    let free = true
    for (let i = 0; i < n; i++) {
      let sum = 0
      for (let j = 0; j < n; j++) sum += inverse[i * n + j] * right[j]
      this.bound[i] = sum
      if (this.limited && sum !== this.within(i, sum)) free = false
    }
    if (!free) this.solveBounded()
    for (let i = 0; i < n; i++) {
      e[i] = this.bound[i]
      f[i] = keep[i] * f[i] + (1 - keep[i]) * e[i]
      w[1 + i] = f[i]
    }
  }

  /** The nearest voltage that slew rate and swing allow op-amp `i` to have at the end of this step. */
  private within(i: number, asked: number): number {
    const { slewVs, lowV, highV } = this.laws[i]
    const most = slewVs * this.stepS
    const slewed = Math.min(this.e[i] + most, Math.max(this.e[i] - most, asked))
    return Math.min(highV, Math.max(lowV, slewed))
  }

  /** Sweeps over the op-amps, each solved with the others held, until none moves; the loop gains make it settle fast. */
  private solveBounded() {
    const { bound, fixed, right } = this
    const n = bound.length
    fixed.fill(0)
    for (let round = 0; round <= n; round++) {
      let changed = false
      for (let i = 0; i < n; i++) {
        const allowed = this.within(i, bound[i])
        if (fixed[i] || allowed === bound[i]) continue
        fixed[i] = 1
        bound[i] = allowed
        changed = true
      }
      if (!changed) return
      this.solveRest(right)
    }
  }

  /** The free op-amps' voltages with the fixed ones given. */
  private solveRest(right: Float64Array) {
    const { bound, fixed } = this
    const places: number[] = []
    for (let i = 0; i < fixed.length; i++) if (!fixed[i]) places.push(i)
    if (places.length === 0) return
    const m = places.length
    const a = new Float64Array(m * m)
    const b = new Float64Array(m)
    for (let r = 0; r < m; r++) {
      b[r] = right[places[r]]
      for (let j = 0; j < fixed.length; j++) if (fixed[j]) b[r] -= this.matrixAt(places[r], j) * bound[j]
      for (let c = 0; c < m; c++) a[r * m + c] = this.matrixAt(places[r], places[c])
    }
    invertSmall(a, m)
    for (let r = 0; r < m; r++) {
      let sum = 0
      for (let c = 0; c < m; c++) sum += a[r * m + c] * b[c]
      bound[places[r]] = sum
    }
  }

  private matrixAt(i: number, j: number): number {
    const own = i === j ? 1 + this.stepS * this.laws[i].poleRad : 0
    return own - this.coupling[i * this.laws.length + j] * (1 - this.keep[j])
  }

  private solveFree(): Float64Array {
    const n = this.laws.length
    const a = Float64Array.from({ length: n * n }, (_, k) => this.matrixAt(Math.floor(k / n), k % n))
    return invertSmall(a, n)
  }
}

/** Inverts a small matrix in place by Gauss-Jordan elimination; its diagonal is dominant, so no pivots are sought. */
const invertSmall = (a: Float64Array, n: number): Float64Array => {
  for (let k = 0; k < n; k++) {
    const pivot = 1 / a[k * n + k]
    a[k * n + k] = 1
    for (let c = 0; c < n; c++) a[k * n + c] *= pivot
    for (let r = 0; r < n; r++) {
      if (r === k) continue
      const factor = a[r * n + k]
      a[r * n + k] = 0
      for (let c = 0; c < n; c++) a[r * n + c] -= factor * a[k * n + c]
    }
  }
  return a
}
