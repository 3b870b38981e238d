import { expect, it } from 'vitest'
import { RandomSource, seedOf } from '../../src/circuit/random.ts'

it('follows the recurrence of xoshiro128**: first numbers of the state 1, 2, 3, 4', () => {
  // Computed by an independent Python program from the published recurrence (result = rotl(s1 * 5, 7) * 9).
  const random = new RandomSource([1, 2, 3, 4])
  expect([0, 1, 2, 3, 4, 5].map(() => random.bits())).toEqual([11520, 0, 5927040, 70819200, 2031721883, 1637235492])
})

it('gives the same sequence for the same seed, and others for others', () => {
  const draw = (seed: number) =>
    Array.from(
      { length: 5 },
      (
        (r) => () =>
          r.uniform()
      )(new RandomSource(seed)),
    )
  expect(draw(7)).toEqual(draw(7))
  expect(draw(7)).not.toEqual(draw(8))
  expect(draw(2 ** 40 + 7)).not.toEqual(draw(7))
  expect(seedOf(1, 'R1')).not.toBe(seedOf(1, 'R2'))
})

it('has the moments of its distributions, five standard errors', () => {
  const random = new RandomSource(11)
  const n = 200_000
  const uniform = Float64Array.from({ length: n }, () => random.uniform())
  const normal = Float64Array.from({ length: n }, () => random.normal())
  const mean = (x: Float64Array) => x.reduce((a, b) => a + b, 0) / n
  const power = (x: Float64Array, k: number) => mean(x.map((v) => v ** k))
  expect(Math.abs(mean(uniform) - 0.5)).toBeLessThan(5 * Math.sqrt(1 / 12 / n))
  expect(Math.abs(power(uniform, 2) - 1 / 3)).toBeLessThan(5 * Math.sqrt(4 / 45 / n))
  expect(Math.abs(mean(normal))).toBeLessThan(5 / Math.sqrt(n))
  expect(Math.abs(power(normal, 2) - 1)).toBeLessThan(5 * Math.sqrt(2 / n))
  expect(Math.abs(power(normal, 4) - 3)).toBeLessThan(5 * Math.sqrt(96 / n))
})
