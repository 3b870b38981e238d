import { backSubstitute, triangularise } from './householder.ts'

/** A least-squares problem: m residuals of n parameters, and their derivatives, one column per parameter. */
export type LeastSquaresProblem = {
  start: Float64Array
  residuals: (parameters: Float64Array) => Float64Array
  /** Called after `residuals` for the same parameters; the columns are used up. */
  jacobian: (parameters: Float64Array) => Float64Array[]
}

export type LeastSquaresResult = {
  parameters: Float64Array
  sumOfSquares: number
  /** Upper triangle R of the Jacobian's factorisation at the end: RᵀR = JᵀJ. Column k holds k + 1 numbers. */
  triangle: Float64Array[]
  steps: number
  settled: boolean
}

/** Damping below which a step is as good as that of the undamped problem. */
const trustedDamping = 1e-2

/**
 * Finds parameters that make the sum of squared residuals smallest.
 *
 * @param options `tolerance` relative step at which it has settled (1e-12), `leastStep` the same absolutely (0); `mostSteps` (200); `damping` of the first step (1e-3):
 *   a start far from the goal may need 100
 * Source: D. W. Marquardt, J. SIAM 11 (1963); damping by H. B. Nielsen, IMM-REP-1999-05; scaling by the largest column norms
 * met, J. J. Moré, Lecture Notes in Mathematics 630 (1978).
 */
export const minimiseSquares = (
  problem: LeastSquaresProblem,
  options: { tolerance?: number; leastStep?: number; mostSteps?: number; damping?: number } = {},
): LeastSquaresResult => {
  const { tolerance = 1e-12, leastStep = 0, mostSteps = 200 } = options
  let parameters = problem.start.slice()
  let residuals = problem.residuals(parameters)
  let sum = squares(residuals)
  let reduced = reduce(problem.jacobian(parameters), residuals)
  const scale = new Float64Array(parameters.length)
  let damping = options.damping ?? 1e-3
  let growth = 2
  let steps = 0
  let settled = false
  for (; steps < mostSteps && !settled; steps++) {
    updateScale(scale, reduced.triangle)
    const step = dampedStep(reduced, scale, damping)
    const tried = parameters.map((p, i) => p + step[i])
    settled = isSmall(step, parameters, tolerance, leastStep)
    // The last step of a fit that is hardly damped any more leads to the minimum: to look once more would change nothing.
    if (settled && damping < trustedDamping) {
      parameters = tried
      continue
    }
    const triedResiduals = problem.residuals(tried)
    const triedSum = squares(triedResiduals)
    const expected = expectedGain(reduced, step)
    // Near the end the sum no longer shows which way is better: there the step itself is to be trusted.
    const rounding = 1e-14 * sum
    const ratio = expected < rounding ? 1 : (sum - triedSum) / expected
    if (triedSum <= sum + (expected < rounding ? rounding : 0)) {
      parameters = tried
      residuals = triedResiduals
      sum = triedSum
      reduced = reduce(problem.jacobian(parameters), residuals)
      damping *= Math.max(1 / 3, 1 - (2 * Math.min(1, ratio) - 1) ** 3)
      growth = 2
    } else {
      damping *= growth
      growth *= 2
      if (damping > 1e40) break
    }
  }
  return { parameters, sumOfSquares: sum, triangle: reduced.triangle, steps, settled }
}

/** Standard errors of fitted parameters for residuals of standard deviation `sigma`. */
export const standardErrors = ({ triangle }: LeastSquaresResult, sigma: number): Float64Array => {
  const n = triangle.length
  const errors = new Float64Array(n)
  // Rows of R⁻¹ are found one unit vector at a time; their squares summed are the diagonal of (JᵀJ)⁻¹.
  for (let k = 0; k < n; k++) {
    const unit = new Float64Array(n)
    unit[k] = 1
    const column = backSubstitute(triangle, unit)
    for (let i = 0; i < n; i++) errors[i] += column[i] ** 2
  }
  return errors.map((x) => sigma * Math.sqrt(x))
}

type Reduced = { triangle: Float64Array[]; right: Float64Array }

const squares = (x: Float64Array): number => {
  let sum = 0
  for (let i = 0; i < x.length; i++) sum += x[i] * x[i]
  return sum
}

/** The m by n problem as an n by n one: from here on the steps cost next to nothing. */
const reduce = (jacobian: Float64Array[], residuals: Float64Array): Reduced => {
  // The problem makes a new Jacobian each time, so it may be destroyed here.
  const columns = jacobian
  const right = residuals.map((x) => -x)
  triangularise(columns, right)
  return { triangle: columns.map((c, k) => c.slice(0, k + 1)), right: right.slice(0, columns.length) }
}

const updateScale = (scale: Float64Array, triangle: Float64Array[]) => {
  triangle.forEach((column, k) => {
    scale[k] = Math.max(scale[k], Math.sqrt(squares(column)), 1e-300)
  })
}

const dampedStep = ({ triangle, right }: Reduced, scale: Float64Array, damping: number): Float64Array => {
  const n = triangle.length
  const columns = triangle.map((column, k) => {
    const tall = new Float64Array(2 * n)
    tall.set(column)
    tall[n + k] = Math.sqrt(damping) * scale[k]
    return tall
  })
  const tallRight = new Float64Array(2 * n)
  tallRight.set(right)
  triangularise(columns, tallRight)
  return backSubstitute(columns, tallRight)
}

/** Decrease of the sum that the linear model promises: |r|² − |r + J step|². */
const expectedGain = ({ triangle, right }: Reduced, step: Float64Array): number => {
  const moved = new Float64Array(right.length)
  triangle.forEach((column, k) => {
    for (let i = 0; i <= k; i++) moved[i] += column[i] * step[k]
  })
  let gain = 0
  for (let i = 0; i < right.length; i++) gain += moved[i] * (2 * right[i] - moved[i])
  return gain
}

const isSmall = (step: Float64Array, parameters: Float64Array, relative: number, absolute: number): boolean =>
  step.every((s, i) => Math.abs(s) <= relative * (Math.abs(parameters[i]) + relative) + absolute)
