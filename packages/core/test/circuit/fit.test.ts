import { readFileSync } from 'node:fs'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { fitValues } from '../../src/circuit/fit-values.ts'
import { minimiseSquares, standardErrors } from '../../src/circuit/levenberg-marquardt.ts'
import { withValues } from '../../src/circuit/netlist.ts'
import { prepareCircuit } from '../../src/circuit/prepare-circuit.ts'
import { RandomSource } from '../../src/circuit/random.ts'
import { gainDbOf, responseOf } from '../../src/circuit/response.ts'
import { plover } from './read-product.ts'

type Dataset = {
  x: number[]
  y: number[]
  start1: number[]
  start2: number[]
  certified: number[]
  certified_sd: number[]
  rss: number
  df: number
}
// Source: NIST Statistical Reference Datasets, non-linear regression (outside check 06-O02, read from stored copies).
const datasets = JSON.parse(readFileSync(new URL('./fixtures/nist-nonlinear.json', import.meta.url), 'utf8')) as Record<
  string,
  Dataset
>

const { exp, PI } = Math
/** Model and derivatives, written out from the formulas of the data sets. */
const models: Record<string, (x: number, b: Float64Array) => { y: number; d: number[] }> = {
  Misra1a: (x, [a, b]) => ({ y: a * (1 - exp(-b * x)), d: [1 - exp(-b * x), a * x * exp(-b * x)] }),
  Chwirut2: (x, [a, b, c]) => {
    const [e, n] = [exp(-a * x), b + c * x]
    return { y: e / n, d: [(-x * e) / n, -e / n ** 2, (-x * e) / n ** 2] }
  },
  DanWood: (x, [a, b]) => ({ y: a * x ** b, d: [x ** b, a * x ** b * Math.log(x)] }),
  Eckerle4: (x, [a, b, c]) => {
    const u = (x - c) / b
    const e = exp(-0.5 * u * u)
    return { y: (a / b) * e, d: [e / b, (a * e * (u * u - 1)) / b ** 2, (a * e * u) / b ** 2] }
  },
  Rat43: (x, [a, b, c, g]) => {
    const e = exp(b - c * x)
    const y = a / (1 + e) ** (1 / g)
    const slope = (-y * e) / (g * (1 + e))
    return { y, d: [y / a, slope, -x * slope, (y * Math.log1p(e)) / g ** 2] }
  },
  Thurber: (x, b) => {
    const n = b[0] + x * (b[1] + x * (b[2] + x * b[3]))
    const q = 1 + x * (b[4] + x * (b[5] + x * b[6]))
    return {
      y: n / q,
      d: [1 / q, x / q, x ** 2 / q, x ** 3 / q, (-n * x) / q ** 2, (-n * x ** 2) / q ** 2, (-n * x ** 3) / q ** 2],
    }
  },
  BoxBOD: (x, [a, b]) => ({ y: a * (1 - exp(-b * x)), d: [1 - exp(-b * x), a * x * exp(-b * x)] }),
  MGH10: (x, [a, b, c]) => {
    const e = exp(b / (x + c))
    return { y: a * e, d: [e, (a * e) / (x + c), (-a * e * b) / (x + c) ** 2] }
  },
  Roszman1: (x, [a, b, c, g]) => {
    const u = c / (x - g)
    const w = 1 / (PI * (1 + u * u))
    return { y: a - b * x - Math.atan(u) / PI, d: [1, -x, -w / (x - g), (-w * u) / (x - g)] }
  },
  Rat42: (x, [a, b, c]) => {
    const e = exp(b - c * x)
    return { y: a / (1 + e), d: [1 / (1 + e), (-a * e) / (1 + e) ** 2, (a * x * e) / (1 + e) ** 2] }
  },
}

const fitDataset = (name: string, start: number[]) => {
  const { x, y } = datasets[name]
  return minimiseSquares(
    {
      start: Float64Array.from(start),
      residuals: (b) => Float64Array.from(x, (v, i) => models[name](v, b).y - y[i]),
      jacobian: (b) => Array.from(b, (_, k) => Float64Array.from(x, (v) => models[name](v, b).d[k])),
    },
    // BoxBOD's far start lies in a basin without a minimum: a short first step leads out of it. MGH10's takes 7,700 steps.
    { mostSteps: 20_000, damping: name === 'BoxBOD' ? 100 : 1e-3 },
  )
}

describe('NIST StRD non-linear regression', () => {
  it.each(
    Object.keys(models).flatMap((name) => (['start1', 'start2'] as const).map((start) => [name, start] as const)),
  )('%s from %s: certified parameters, standard errors and sum of squares', (name, start) => {
    const data = datasets[name]
    const result = fitDataset(name, data[start])
    expect(result.settled).toBe(true)
    // Eight digits, which the certified values' eleven and the flatness of a minimum in double precision allow.
    data.certified.forEach((b, k) => {
      expect(Math.abs(result.parameters[k] / b - 1)).toBeLessThan(1e-8)
    })
    expect(Math.abs(result.sumOfSquares / data.rss - 1)).toBeLessThan(1e-9)
    const errors = standardErrors(result, Math.sqrt(result.sumOfSquares / (data.x.length - data.certified.length)))
    data.certified_sd.forEach((s, k) => {
      expect(Math.abs(errors[k] / s - 1)).toBeLessThan(1e-6)
    })
  })
})

it('solves linear problems in one accepted step, whatever their shape', () => {
  fc.assert(
    fc.property(fc.integer({ min: 1, max: 6 }), fc.integer({ min: 0, max: 1e6 }), (n, seed) => {
      const random = new RandomSource(seed)
      const m = n + 5
      const columns = Array.from({ length: n }, () => Float64Array.from({ length: m }, () => random.normal()))
      const truth = Float64Array.from({ length: n }, () => random.normal())
      const apply = (p: Float64Array) =>
        Float64Array.from({ length: m }, (_, i) => columns.reduce((s, c, k) => s + c[i] * (p[k] - truth[k]), 0))
      const { parameters } = minimiseSquares({
        start: new Float64Array(n),
        residuals: apply,
        jacobian: () => columns.map((c) => c.slice()),
      })
      parameters.forEach((p, k) => {
        expect(Math.abs(p - truth[k])).toBeLessThan(1e-8)
      })
    }),
  )
})

describe('fitting part values of the demo product', () => {
  const netlist = prepareCircuit(plover.circuit)
  const frequencyHz = Float64Array.from({ length: 61 }, (_, i) => 20 * 10 ** (i / 20))
  const settings = plover.settings.slice(0, 3)
  const measure = (values: Float64Array, noiseDb: number, levelDb = 0) => {
    const random = new RandomSource(8)
    return settings.map(({ positions }) => ({
      positions,
      frequencyHz,
      gainDb: gainDbOf(responseOf({ netlist, values, positions, frequencyHz })).map(
        (g) => g + levelDb + noiseDb * random.normal(),
      ),
      uncertaintyDb: Math.max(noiseDb, 1e-4),
    }))
  }
  const wide = { deviation: 1 }

  it('finds eight values exactly when the curves are exact', () => {
    const truth = { C7: 30e-9, C8: 36e-9, C9: 4e-9, P1: 115e3, P2: 84e3, R9: 14.2e3, C3: 80e-9, R5: 11e3 }
    const measured = measure(withValues(netlist, truth), 0)
    const priors = Object.fromEntries(Object.keys(truth).map((name) => [name, wide]))
    const { fitted } = fitValues({ netlist, measured, priors })
    for (const { name, value } of fitted)
      expect(Math.abs(value / truth[name as keyof typeof truth] - 1), name).toBeLessThan(1e-5)
  })
  it('finds a wrong capacitor under noise and a level error, with an honest standard error', () => {
    const measured = measure(withValues(netlist, { C9: 4.7e-9 }), 0.05, 0.2)
    const { fitted, levelDb, misfit } = fitValues({
      netlist,
      measured,
      priors: { C9: wide, P2: { deviation: 0.12 } },
      levelDb: 0.2,
    })
    const c9 = fitted[0]
    expect(Math.abs(Math.log(c9.value / 4.7e-9)) / c9.errorRatio).toBeLessThan(4)
    expect(c9.errorRatio).toBeLessThan(0.01)
    expect(levelDb).toBeCloseTo(0.2, 1)
    // 183 points of unit variance: mean 183, deviation √366.
    expect(Math.abs(misfit - 183)).toBeLessThan(5 * Math.sqrt(366))
  })
  it('keeps to the prior where the curves say nothing', () => {
    const measured = measure(netlist.nominal, 0.05)
    const { fitted } = fitValues({ netlist, measured, priors: { C1: { deviation: 0.2, mean: 0.1 } } })
    expect(fitted[0].ratio).toBeCloseTo(Math.exp(0.1), 3)
    expect(fitted[0].errorRatio).toBeCloseTo(0.2, 2)
  })
})
