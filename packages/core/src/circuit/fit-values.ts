import { compileCircuit } from './compile.ts'
import { fitCurve } from './fit-curve.ts'
import { type LeastSquaresResult, minimiseSquares, standardErrors } from './levenberg-marquardt.ts'
import type { MeasuredGain } from './measured-gain.ts'
import { type Netlist, parameterIndex } from './netlist.ts'

/** What is believed of a value beforehand: ln(value / nominal) is normal with this mean (0) and deviation. */
export type Prior = { deviation: number; mean?: number }

/** `ratio` to the nominal value; `deviations` from the prior's mean in its deviations; `errorRatio` standard error of ln(value). */
export type FittedValue = { name: string; value: number; ratio: number; deviations: number; errorRatio: number }

export type FitResult = {
  fitted: FittedValue[]
  /** The whole value vector with the fitted values in it. */
  values: Float64Array
  /** Common level error of the rig, dB. */
  levelDb: number
  /** Sum of squares of misfit to the measurement, and of departure from the priors. */
  misfit: number
  departure: number
  /** ln det of the information matrix, for comparing hypotheses by Laplace's approximation. */
  logInformation: number
  steps: number
}

/**
 * Most probable values of some parts given measured gains and what is believed of them beforehand (log-normal priors).
 *
 * @param options `priors` by parameter name ("C7"): these are fitted, all others stay as in `values`; `levelDb` standard
 *   uncertainty of the rig's level (0: the level is exact)
 * @throws BoardwrightError `bad-circuit` for an unknown name
 * Source: maximum a posteriori estimate with the Jacobian from the adjoint network.
 */
export const fitValues = (options: {
  netlist: Netlist
  measured: readonly MeasuredGain[]
  priors: Readonly<Record<string, Prior>>
  values?: Float64Array
  levelDb?: number
}): FitResult => {
  const { netlist, priors } = options
  const names = Object.keys(priors)
  const problem = new FitProblem(options, names)
  const result = minimiseSquares(
    {
      start: problem.start(),
      residuals: (theta) => problem.evaluate(theta),
      jacobian: () => problem.jacobian,
    },
    // A millionth of each value: far less than its standard error, and the last step usually does much better.
    { leastStep: 1e-6, mostSteps: 60 },
  )
  const values = problem.valuesAt(result.parameters)
  return describe(netlist, names, priors, result, values)
}

type FitOptions = Parameters<typeof fitValues>[0]

/** Residuals and derivatives: first the curves' points, then one row per prior, the level's last. */
class FitProblem {
  /** Filled anew at each evaluation; the fit uses its columns up before the next. */
  readonly jacobian: Float64Array[]
  private readonly rows: number
  private readonly places: number[]
  private readonly curves: ReturnType<typeof fitCurve>[]
  private readonly base: Float64Array
  private readonly options: FitOptions
  private readonly names: string[]

  constructor(options: FitOptions, names: string[]) {
    this.options = options
    this.names = names
    this.base = options.values ?? options.netlist.nominal
    this.places = names.map((name) => parameterIndex(options.netlist, name))
    const circuit = compileCircuit(options.netlist, { values: this.base })
    this.curves = options.measured.map((m) => fitCurve(circuit, m, this.places))
    this.rows = this.curves.reduce((sum, c) => sum + c.points, 0)
    this.jacobian = Array.from({ length: this.unknowns }, () => new Float64Array(this.rows + this.unknowns))
  }

  private get unknowns(): number {
    return this.names.length + (this.options.levelDb ? 1 : 0)
  }

  start(): Float64Array {
    const start = new Float64Array(this.unknowns)
    this.names.forEach((name, k) => {
      start[k] = this.options.priors[name].mean ?? 0
    })
    return start
  }

  valuesAt(theta: Float64Array): Float64Array {
    const values = this.base.slice()
    this.places.forEach((place, k) => {
      values[place] = this.options.netlist.nominal[place] * Math.exp(theta[k])
    })
    return values
  }

  evaluate(theta: Float64Array): Float64Array {
    const { levelDb = 0, priors } = this.options
    const { rows } = this
    const residuals = new Float64Array(rows + this.unknowns)
    for (const column of this.jacobian) column.fill(0)
    const values = this.valuesAt(theta)
    const level = levelDb > 0 ? theta[this.names.length] : 0
    let at = 0
    for (const curve of this.curves) {
      curve.evaluate(values, level, residuals, this.jacobian, at)
      at += curve.points
    }
    theta.forEach((t, k) => {
      const { mean = 0, deviation } = k < this.names.length ? priors[this.names[k]] : { deviation: levelDb }
      residuals[rows + k] = (t - mean) / deviation
      this.jacobian[k][rows + k] = 1 / deviation
    })
    return residuals
  }
}

const describe = (
  netlist: Netlist,
  names: string[],
  priors: FitOptions['priors'],
  result: LeastSquaresResult,
  values: Float64Array,
): FitResult => {
  const { parameters, sumOfSquares, triangle, steps } = result
  const errors = standardErrors(result, 1)
  const fitted = names.map((name, k) => ({
    name,
    value: values[parameterIndex(netlist, name)],
    ratio: Math.exp(parameters[k]),
    deviations: (parameters[k] - (priors[name].mean ?? 0)) / priors[name].deviation,
    errorRatio: errors[k],
  }))
  const departure = fitted.reduce((sum, f) => sum + f.deviations ** 2, 0)
  return {
    fitted,
    values,
    levelDb: parameters.length > names.length ? parameters[names.length] : 0,
    misfit: sumOfSquares - departure,
    departure,
    logInformation: triangle.reduce((sum, column, k) => sum + 2 * Math.log(Math.abs(column[k])), 0),
    steps,
  }
}
