import { expect, test } from 'vitest'
import { driftSeries } from '../../src/workshop/rig-check/drift-chart.ts'
import viscosity from '../statistics/data/viscosity.json' with { type: 'json' }
import { normalSource } from '../statistics/random.ts'
import { rigDay } from './rig-day.ts'

const seriesOf = (valuesDb: readonly number[], rigLimitDb = 0.2) =>
  driftSeries({
    quantity: 'level',
    checks: valuesDb.map((levelDb) => ({ outcome: 'good' as const, levelDb, shapeDb: 0 })),
    rigLimitDb,
  })
/** A steady rig: normal with this standard deviation. */
const steady = (count: number, sigmaDb: number, seed = 3) => {
  const normal = normalSource(seed)
  return Array.from({ length: count }, () => sigmaDb * normal())
}

test('too few checks: no limits of its own, and no warning', () => {
  const { control, averageDb, beyond, warning } = seriesOf([0.01, -0.01, 0.02, 0, 0.19, 0.19, 0.19])
  expect({ control, averageDb, beyond, warning }).toEqual({ control: null, averageDb: [], beyond: [], warning: null })
})

test('a rig that never differs has no limits, and does not divide by zero', () => {
  expect(seriesOf(Array(12).fill(0.01)).control).toBeNull()
})

// CHECKS 06 individuals example (viscosity.json names its source): limits with d2 = 2/sqrt(pi).
test('control limits are those of the individuals chart of the first 20 checks at most', () => {
  const { values } = viscosity as { values: number[] }
  const first = values.slice(0, 20)
  const mean = first.reduce((sum, x) => sum + x, 0) / first.length
  const range = first.slice(1).reduce((sum, x, i) => sum + Math.abs(x - first[i]), 0) / (first.length - 1)
  const { control } = seriesOf([...first, ...values.slice(20), 1000, 1000], 5000)
  expect(control?.checks).toBe(first.length)
  expect(control?.centreDb).toBeCloseTo(mean, 10)
  expect(control?.upperDb).toBeCloseTo(mean + (3 * range * Math.sqrt(Math.PI)) / 2, 10)
  // e-Handbook 6.3.2.4: long-run limits are 3 sigma sqrt(weight / (2 - weight)), a third of 3 sigma at 0.2.
  const half = (control?.upperDb ?? 0) - mean
  expect((control?.averageUpperDb ?? 0) - mean).toBeCloseTo(half / 3, 10)
})

test('a steady rig raises no alarm that its limits do not explain', () => {
  // 3-sigma individuals 0.27 % a point, EWMA (0.2, 3) an average run of 500 (Lucas and Saccucci 1990): about 0.5 % in all,
  // some more because the limits come of 20 values themselves.
  let told = 0
  for (let seed = 1; seed <= 40; seed++) told += seriesOf(steady(50, 0.03, seed)).warning === null ? 0 : 1
  expect(told).toBeLessThan(4)
})

test('a slow drift is announced before the limit is reached, with the checks that are left', () => {
  const values = [...steady(12, 0.01), ...Array.from({ length: 20 }, (_, i) => 0.01 * (i + 1) + steady(20, 0.01, 9)[i])]
  const firstWarning = values.findIndex((_, i) => seriesOf(values.slice(0, i + 1)).warning !== null)
  const firstBeyond = values.findIndex((value) => Math.abs(value) > 0.2)
  expect(firstWarning).toBeGreaterThan(12)
  expect(firstBeyond === -1 ? values.length : firstBeyond).toBeGreaterThan(firstWarning + 5)
  const { warning } = seriesOf(values.slice(0, firstWarning + 4))
  expect(warning).toMatch(
    /^The level of the rig drifts: \+0\.\d\d dB on average, limit 0\.20 dB; at this pace .* about \d+ checks\.$/,
  )
})

test('a drift too small to matter is not told, however steady the rig', () => {
  const values = [...steady(12, 0.001), ...Array(10).fill(0.02)]
  const series = seriesOf(values)
  expect(series.beyond.length).toBeGreaterThan(0)
  expect(series.warning).toBeNull()
})

test('a real, simulated rig that drifts by 0.015 dB a check is found before it stops work', async () => {
  const begins = 8
  const day = await rigDay({
    contactDb: 0.01,
    drift: (boards) => ({ levelDb: Math.max(0, boards - begins) * 0.015 }),
  })
  let warnedAt: number | undefined
  let stoppedAt: number | undefined
  for (let i = 0; i < 26 && stoppedAt === undefined; i++) {
    const { check, status } = await day.check()
    if (check.outcome === 'drifted') stoppedAt = i
    else if (status.warning) warnedAt ??= i
  }
  day.workshop.close()
  expect(stoppedAt).toBeGreaterThan(begins + 10)
  expect(warnedAt).toBeGreaterThan(begins)
  expect((stoppedAt ?? 0) - (warnedAt ?? 99)).toBeGreaterThanOrEqual(5)
})
