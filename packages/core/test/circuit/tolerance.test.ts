import { describe, expect, it } from 'vitest'
import { bandFromTolerance, yieldUnder } from '../../src/circuit/band-from-tolerance.ts'
import { jointCovariance, quantileOfSorted, summariseCloud } from '../../src/circuit/cloud-statistics.ts'
import { prepareCircuit } from '../../src/circuit/prepare-circuit.ts'
import { sensitivityOf } from '../../src/circuit/sensitivity.ts'
import { drawCloud } from '../../src/circuit/tolerance-cloud.ts'
import { logSpreads } from '../../src/circuit/tolerance-draw.ts'
import { spreadSharesOf, worstCaseOf } from '../../src/circuit/tolerance-limits.ts'
import type { Circuit } from '../../src/model/circuit.ts'
import { plover } from './read-product.ts'

/** Two resistors and a source: gain R2/(R1+R2), every figure in closed form. */
const divider: Circuit = {
  output: 'o',
  ground: '0',
  elements: [
    {
      kind: 'source',
      designator: 'V1',
      nodes: ['i', '0'],
      role: 'signal',
      value: 0,
      seriesResistance: 0,
      place: 'rig',
    },
    { kind: 'resistor', designator: 'R1', nodes: ['i', 'o'], value: 1000, tolerance: 0.01, place: 'board' },
    { kind: 'resistor', designator: 'R2', nodes: ['o', '0'], value: 1000, tolerance: 0.05, place: 'board' },
  ],
}
const settings = [{ name: 'only', positions: {} }]
const db = (x: number) => 20 * Math.log10(x)

describe('a divider', () => {
  const netlist = prepareCircuit(divider)
  const cloud = drawCloud({ netlist, settings, seed: 1, boards: 20_000, frequencyHz: [100, 1000] })
  it('spreads as its tolerances say: slope ±4.343 dB per unit of ln(R)', () => {
    const [{ deviationDb, meanDb }] = summariseCloud(cloud)
    const expected = 4.342944819 * Math.hypot(0.02 / Math.sqrt(12), 0.1 / Math.sqrt(12))
    // 20,000 boards: 1 % covers five standard errors of a standard deviation (0.35 % each) less the uniform's short tails.
    expect(Math.abs(deviationDb[0] / expected - 1)).toBeLessThan(0.02)
    expect(Math.abs(meanDb[0])).toBeLessThan(5 * (expected / Math.sqrt(20_000)) + 0.001)
  })
  it('has its worst cases at the corners', () => {
    const { upperDb, lowerDb } = worstCaseOf({ netlist, setting: settings[0], frequencyHz: [1000] })
    // Exact corners; the linear estimate is good to a second-order term, here 0.01 dB.
    expect(Math.abs(upperDb[0] - (db(1050 / (1050 + 990)) - db(0.5)))).toBeLessThan(0.01)
    expect(Math.abs(lowerDb[0] - (db(950 / (950 + 1010)) - db(0.5)))).toBeLessThan(0.01)
    const most = Math.max(...cloud.settings[0].deviationDb)
    expect(most).toBeLessThanOrEqual(db(1050 / (1050 + 990)) - db(0.5) + 1e-12)
  })
  it('owes 25/26 of its spread to the 5 % part', () => {
    const shares = spreadSharesOf({ netlist, setting: settings[0], frequencyHz: [1000] })
    expect(shares[0].designator).toBe('R2')
    expect(shares[0].share).toBeCloseTo(25 / 26, 2)
    expect(shares.reduce((s, x) => s + x.share, 0)).toBeCloseTo(1, 12)
  })
  it('has the yield of the uniform distribution under a band', () => {
    const half = drawCloud({
      netlist: prepareCircuit({
        ...divider,
        elements: divider.elements.map((e) =>
          e.designator === 'R1' ? { ...e, tolerance: 0 } : e,
        ) as Circuit['elements'],
      }),
      settings,
      seed: 2,
      boards: 20_000,
      frequencyHz: [1000],
    })
    // R2 within ±2.5 % of its ±5 %: half of the boards.
    const band = {
      setting: 'only',
      compare: 'absolute' as const,
      breakpoints: [10, 10_000].map((frequencyHz) => ({
        frequencyHz,
        upperDb: db(1.025 / 2.025) - db(0.5),
        lowerDb: db(0.975 / 1.975) - db(0.5),
      })),
    }
    expect(Math.abs(yieldUnder({ cloud: half, bands: [band], against: 'nominal' }) - 0.5)).toBeLessThan(
      5 * Math.sqrt(0.25 / 20_000),
    )
  })
  it('takes measured lots instead of the tolerance', () => {
    const known = drawCloud({
      netlist,
      settings,
      seed: 3,
      boards: 5000,
      frequencyHz: [1000],
      measured: { R2: { mean: 1040, deviation: 1 } },
    })
    const [{ meanDb, deviationDb }] = summariseCloud(known)
    expect(meanDb[0]).toBeCloseTo(db(1040 / 2040) - db(0.5), 2)
    expect(deviationDb[0]).toBeLessThan(0.03)
  })
})

describe('the demo product', () => {
  const netlist = prepareCircuit(plover.circuit)
  const cloud = drawCloud({ netlist, settings: plover.settings.slice(0, 3), seed: 4, boards: 4000, spread: 'normal' })

  it('has the covariance that the sensitivities predict', () => {
    const { size, covariance } = jointCovariance(cloud)
    const n = cloud.frequencyHz.length
    const { deviation } = logSpreads(netlist, 'normal')
    const slopes = plover.settings
      .slice(0, 3)
      .map((s) => sensitivityOf({ netlist, positions: s.positions, frequencyHz: cloud.frequencyHz }))
    // Parts of one lot move together: their cross terms count by the share of the lot.
    const lots = netlist.parameters.map((p) => `${p.dimension} ${p.kind} ${p.nominal}`)
    for (const [j, k] of [
      [5, 5],
      [n + 40, n + 40],
      [2 * n + 15, 2 * n + 15],
      [5, n + 5],
      [30, n + 60],
    ]) {
      let expected = 0
      netlist.parameters.forEach((p, a) => {
        netlist.parameters.forEach((q, b) => {
          const share = p.group === q.group ? 1 : lots[a] === lots[b] ? Math.sqrt(p.lotShare * q.lotShare) : 0
          if (share === 0) return
          const at = (m: number, c: number) => slopes[Math.floor(m / n)].gainDb[c][m % n] * deviation[c]
          expected += share * at(j, a) * at(k, b)
        })
      })
      const scale = Math.sqrt(covariance[j * size + j] * covariance[k * size + k])
      // 4,000 boards and second-order effects of ±20 % pots: 8 % of the variances.
      expect(Math.abs(covariance[j * size + k] - expected) / scale).toBeLessThan(0.08)
    }
  })
  it('gives a band that healthy boards keep as often as asked, at all settings together', () => {
    const bands = bandFromTolerance({ cloud, yield: 0.98, widenDb: 0 })
    const fresh = drawCloud({
      netlist,
      settings: plover.settings.slice(0, 3),
      seed: 99,
      boards: 4000,
      spread: 'normal',
    })
    const kept = yieldUnder({ cloud: fresh, bands })
    expect(kept).toBeGreaterThan(0.975)
    const tight = bands.map((b) => ({
      ...b,
      breakpoints: b.breakpoints.map((p) => ({ ...p, upperDb: p.upperDb / 2, lowerDb: p.lowerDb / 2 })),
    }))
    expect(yieldUnder({ cloud: fresh, bands: tight })).toBeLessThan(0.9)
  })
  it('passes its own bands by a wide margin', () => {
    const uniform = drawCloud({ netlist, settings: plover.settings.slice(0, 3), seed: 5, boards: 4000 })
    expect(yieldUnder({ cloud: uniform, bands: plover.testPlan.bands })).toBeGreaterThan(0.999)
  })
})

it('quantiles interpolate as definition 7 of Hyndman and Fan', () => {
  // R: quantile(c(1, 2, 4, 8), c(0, .25, .5, .9, 1)) gives 1, 1.75, 3, 6.8, 8 (worked by hand from the definition).
  const x = Float64Array.from([1, 2, 4, 8])
  expect([0, 0.25, 0.5, 0.9, 1].map((p) => Number(quantileOfSorted(x, p).toFixed(10)))).toEqual([1, 1.75, 3, 6.8, 8])
})
