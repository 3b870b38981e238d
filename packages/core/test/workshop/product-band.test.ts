import { beforeAll, expect, test } from 'vitest'
import { Product, ToleranceBand } from '../../src/model/product.ts'
import { bandLimits } from '../../src/response/judge/tolerance-band.ts'
import type { SettingRecording } from '../../src/workshop/workshop.ts'
import { newWorkshop } from './new-workshop.ts'
import { product, record, recordReference } from './rig-recordings.ts'

const rig = 'simulated' as const
let ofReference: SettingRecording[]
let units: SettingRecording[][]
beforeAll(async () => {
  ofReference = await recordReference(1)
  units = []
  for (let i = 0; i < 7; i++) units.push(await record({ serial: `PLV-010${i}` }))
})

const tolerance = { kind: 'tolerance' } as const

test('a band from the tolerances of the parts keeps the wanted share of healthy boards, and is no wider than it must', () => {
  const workshop = newWorkshop()
  const before = workshop.lastSeq()
  const report = workshop.productBand({ from: { ...tolerance, yield: 0.99 } })
  for (const band of report.bands) expect(ToleranceBand.parse(band)).toEqual(band)
  expect(report.bands.map(({ setting }) => setting)).toEqual(['max', 'min', 'centre'])
  expect(report.before).toEqual(product.testPlan.bands)
  // Counted on 4,000 other boards: one standard deviation of a share of 99 % is 0.16 %; breakpoints only add room.
  expect(report.healthyShare.bands).toBeGreaterThan(0.985)
  const narrow = workshop.productBand({ from: { ...tolerance, yield: 0.8, widenDb: 0 } })
  expect(narrow.healthyShare.bands).toBeLessThan(report.healthyShare.bands)
  const width = (bands: ToleranceBand[]) =>
    bands.flatMap(({ breakpoints }) => breakpoints).reduce((sum, { upperDb, lowerDb }) => sum + upperDb - lowerDb, 0)
  expect(width(narrow.bands)).toBeLessThan(width(report.bands))
  expect(report.product).toBeNull()
  expect(workshop.lastSeq()).toBe(before)
})

test('kept, it is a new revision; the old one never changes, and the reference still serves', () => {
  const workshop = newWorkshop()
  workshop.addReference({ recordings: ofReference })
  workshop.registerUnit({ serial: 'PLV-0001' })
  const before = workshop.lastSeq()
  const { product: kept, bands, basis } = workshop.productBand({ from: tolerance, saveAs: { revision: 'B' } })
  expect(kept).toMatchObject({ id: 'plover', revision: 'B', revisionDate: '2026-03-04', testPlan: { bands } })
  expect(workshop.product()).toEqual(kept)
  expect(workshop.product('plover', 'A')).toEqual(product)
  expect(Product.parse(kept)).toEqual(kept)
  expect(workshop.currentReference()?.version).toBe(1)
  expect(workshop.journalSince(before)).toMatchObject([
    { verb: 'add-product', key: 'plover', detail: { revision: 'B' } },
    { verb: 'product-band', noun: 'product', key: 'plover', detail: { revision: 'B', from: 'A', basis } },
  ])
  expect(workshop.unit('PLV-0001').unit.revision).toBe('A')
  expect(() => workshop.productBand({ from: tolerance, saveAs: { revision: 'A' } })).toThrow(
    expect.objectContaining({ code: 'revision-frozen' }),
  )
  const { run } = workshop.recordTestRun({ serial: 'PLV-0100', rig, recordings: units[0] })
  expect(run).toMatchObject({ revision: 'B', verdict: 'pass' })
})

test('breakpoints by hand: for all settings of the plan, or for one; the others keep theirs', () => {
  const workshop = newWorkshop()
  const flat = [20, 20_000].map((frequencyHz) => ({ frequencyHz, upperDb: 2, lowerDb: -2 }))
  const all = workshop.productBand({ from: { kind: 'by-hand', points: [...flat].reverse() } }).bands
  const breakpointsOf = (bands: ToleranceBand[], setting: string) =>
    bands.find((band) => band.setting === setting)?.breakpoints
  expect(all.map(({ setting }) => setting)).toEqual(['max', 'min', 'centre'])
  expect(breakpointsOf(all, 'max')).toEqual(flat)
  expect(breakpointsOf(all, 'min')).toEqual(flat)
  // The test plan does not measure it: only the mirror check does.
  expect(breakpointsOf(all, 'centre')).toEqual(breakpointsOf(product.testPlan.bands, 'centre'))
  const own = flat.map((point) => ({ ...point, setting: 'min', upperDb: 1 }))
  const mixed = workshop.productBand({ from: { kind: 'by-hand', points: [...flat, ...own] } }).bands
  expect(breakpointsOf(mixed, 'max')).toEqual(flat)
  expect(breakpointsOf(mixed, 'min')).toEqual(flat.map((point) => ({ ...point, upperDb: 1 })))
})

test('a band from the last passed units lies around them, and holds each', () => {
  const workshop = newWorkshop()
  workshop.addReference({ recordings: ofReference })
  const from = { kind: 'units', last: 20 } as const
  const judged = units.map((recordings, i) => workshop.recordTestRun({ serial: `PLV-010${i}`, rig, recordings }).run)
  const { bands, basis, healthyShare } = workshop.productBand({ from })
  expect(basis).toEqual({ kind: 'units', referenceVersion: 1, serials: judged.map((run) => run.serial).reverse() })
  for (const { judgement } of judged)
    for (const { setting, deviationDb, frequencyHz } of judgement.settings) {
      const band = bands.find((one) => one.setting === setting) as ToleranceBand
      const limits = bandLimits({ band, frequencyHz })
      deviationDb.forEach((value, i) => {
        expect(value).toBeLessThanOrEqual(limits.upperDb[i])
        expect(value).toBeGreaterThanOrEqual(limits.lowerDb[i])
      })
    }
  expect(healthyShare.bands).toBeGreaterThan(0.9)
  // Nobody has measured units at centre: that band stays.
  expect(bands[2]).toEqual(product.testPlan.bands[2])
  const newest = workshop.productBand({ from: { ...from, last: 5 } }).basis
  expect(newest).toMatchObject({ serials: ['PLV-0106', 'PLV-0105', 'PLV-0104', 'PLV-0103', 'PLV-0102'] })
})

test('the limits from units are mean and exact tolerance factor, by hand at one frequency', () => {
  const workshop = newWorkshop()
  workshop.addReference({ recordings: ofReference })
  const at1kHz = units
    .slice(0, 5)
    .map((recordings, i) => workshop.recordTestRun({ serial: `PLV-010${i}`, rig, recordings }).run)
    .map(({ judgement }) => {
      const [{ frequencyHz, deviationDb }] = judgement.settings
      return deviationDb[frequencyHz.findIndex((hz) => Math.abs(hz - 1000) < 1e-6)]
    })
  const mean = at1kHz.reduce((a, b) => a + b) / 5
  const deviation = Math.sqrt(at1kHz.reduce((sum, x) => sum + (x - mean) ** 2, 0) / 4)
  // Only 1 kHz itself lies between these: the widest value up to the neighbours is its own.
  const report = workshop.productBand({
    from: { kind: 'units', last: 5 },
    breakpointsHz: [20, 999, 1000, 1001, 20_000],
  })
  const { upperDb, lowerDb } = report.bands[0].breakpoints[2]
  // Source: one-sided factor for 5 values, 99.5 % with 95 % confidence, by scipy.stats.nct.ppf(0.95, 4,
  // sqrt(5) * norm.ppf(0.995)) / sqrt(5); limits are rounded outwards to 0.05 dB, 0.15 dB at least.
  const factor = 6.313187351193456
  const outwards = (x: number) => Math.max(0.15, Math.ceil(x / 0.05 - 1e-9) * 0.05)
  expect(upperDb).toBeCloseTo(outwards(mean + factor * deviation), 9)
  expect(-lowerDb).toBeCloseTo(outwards(factor * deviation - mean), 9)
})

test.each([
  [{ from: { kind: 'units', last: 20 } }, 'too-few-units'],
  [{ from: { kind: 'by-hand', points: [{ frequencyHz: 20, upperDb: 1, lowerDb: -1 }] } }, 'bad-argument'],
  [
    { from: { kind: 'by-hand', points: [{ setting: 'loud', frequencyHz: 20, upperDb: 1, lowerDb: -1 }] } },
    'setting-unknown',
  ],
  [{ from: { ...tolerance, yield: 99 } }, 'bad-argument'],
  [{ from: tolerance, breakpointsHz: [1000, 20] }, 'bad-argument'],
  [{ from: tolerance, productId: 'dunlin' }, 'not-found'],
] as const)('%j is refused with the code %s', (what, code) => {
  const workshop = newWorkshop()
  workshop.addReference({ recordings: ofReference })
  expect(() => workshop.productBand(what)).toThrow(expect.objectContaining({ code }))
})

test('units without a reference have nothing to be compared with', () => {
  expect(() => newWorkshop().productBand({ from: { kind: 'units', last: 20 } })).toThrow(
    expect.objectContaining({ code: 'no-reference' }),
  )
})
