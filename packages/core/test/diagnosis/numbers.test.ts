import fc from 'fast-check'
import { all, create, type Matrix } from 'mathjs'
import { describe, expect, it } from 'vitest'
import { RandomSource } from '../../src/circuit/random.ts'
import { choleskyInPlace, choleskySolve } from '../../src/diagnosis/cholesky.ts'
import { noiseOf, thin } from '../../src/diagnosis/smooth.ts'

const math = create(all, {})

describe('Cholesky factors', () => {
  it('solve and give the determinant as mathjs does', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 8 }), fc.integer(), (n, seed) => {
        const random = new RandomSource(seed)
        const root = Array.from({ length: n }, () => Array.from({ length: n }, () => random.normal()))
        const a = math.add(math.multiply(root, math.transpose(root)), math.identity(n)) as Matrix
        const rows = (a.toArray ? a.toArray() : a) as number[][]
        const b = Float64Array.from({ length: n }, () => random.normal())
        const factor = Float64Array.from(rows.flat())
        const logDeterminant = choleskyInPlace(factor, n)
        const x = b.slice()
        choleskySolve(factor, n, x)
        // Well-conditioned by the unit diagonal: a few digits less than a double has.
        expect(logDeterminant).toBeCloseTo(Math.log(math.det(rows)), 8)
        const expected = (math.lusolve(rows, [...b]) as number[][]).flat()
        expected.forEach((v, i) => {
          expect(x[i]).toBeCloseTo(v, 8)
        })
      }),
      { numRuns: 60 },
    )
  })
})

describe('thinning a curve', () => {
  it('keeps a parabola as it is, ends included', () => {
    const curve = Array.from({ length: 241 }, (_, i) => 3 - 0.2 * i + 1e-3 * i * i)
    const { index, value } = thin(curve)
    expect(index).toHaveLength(49)
    index.forEach((at, k) => {
      // Least squares of an exact parabola: rounding only.
      expect(value[k]).toBeCloseTo(curve[at], 9)
    })
  })

  it('leaves a third of white noise in the middle, as the published weights do', () => {
    // Savitzky and Golay, table I: seven points, quadratic: the sum of squared weights is 7/21.
    const { variance } = thin(new Array(241).fill(0))
    expect(variance[20]).toBeCloseTo(7 / 21, 12)
  })

  it('takes a short curve as it stands', () => {
    const { index, value } = thin([1, 5, 2])
    expect([...index]).toEqual([0, 1, 2])
    expect([...value]).toEqual([1, 5, 2])
  })
})

describe('noise of a curve', () => {
  it('is found under any smooth shape, and a few jumps do not count', () => {
    const random = new RandomSource(3)
    const curve = Array.from({ length: 241 }, (_, i) => 10 * Math.sin(i / 40) + 0.05 * random.normal())
    curve[100] += 4
    // 238 differences, robust: standard error of about 6 %.
    expect(noiseOf(curve)).toBeGreaterThan(0.04)
    expect(noiseOf(curve)).toBeLessThan(0.06)
  })
  it('is not guessed from a handful of points', () => {
    expect(noiseOf([1, 2, 3])).toBe(0)
  })
})
