import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, expect, test } from 'vitest'
import type { GaugeResult } from '../../src/model/gauge-study.ts'
import { openStore } from '../../src/store/open-store.ts'
import { quantityFigures } from '../../src/workshop/gauge-study/gauge-figures.ts'
import { gaugeWords } from '../../src/workshop/gauge-study/gauge-words.ts'
import { studyOrder } from '../../src/workshop/gauge-study/study-order.ts'
import { makeWorkshop } from '../../src/workshop/make-workshop.ts'
import aiag from '../statistics/data/gauge-10x3x3.json' with { type: 'json' }
import { rigDay } from './rig-day.ts'
import { product, silenced } from './rig-recordings.ts'

const serials = ['PLV-0001', 'PLV-0002', 'PLV-0003', 'PLV-0004', 'PLV-0005']
/** What the simulated rig really does from one set-up to the next; the treble adds half of it at the top. */
const contactDb = 0.05

type Day = Awaited<ReturnType<typeof rigDay>>
const recordStep = async (
  day: Day,
  held: { key?: string; setUp?: number },
  step: { serial: string; setUp: number },
) => {
  const key = `${step.serial} ${step.setUp}`
  if (held.key !== key) Object.assign(held, { key, setUp: (held.setUp ?? 0) + 1 })
  return day.record(step.serial, `study ${held.setUp}`)
}

let folder: string
let day: Day
let studyId: number
let result: GaugeResult
beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'boardwright-'))
  day = await rigDay({ contactDb, seed: 11, folder })
  for (const serial of serials) day.workshop.registerUnit({ serial })
  const { gaugeStudies } = day.workshop
  const { study } = gaugeStudies.start({ rig: 'simulated', serials, repeats: 2, setUps: 3, seed: 4, note: 'new pins' })
  studyId = study.id
  const held = {}
  for (let progress = gaugeStudies.show(study.id); progress.next; progress = gaugeStudies.show(study.id)) {
    const recordings = await recordStep(day, held, progress.next)
    gaugeStudies.addReading({ studyId, rig: 'simulated', position: progress.next.position, recordings })
  }
  result = gaugeStudies.result(study.id)
}, 120_000)
afterAll(() => {
  day.workshop.close()
  rmSync(folder, { recursive: true })
})

// CHECKS 06-O15 and 06-O16: AIAG, "Measurement Systems Analysis", 10 parts x 3 appraisers x 3 trials.
test('the published example gives the published figures: 5 classes by ranges, 4 by analysis of variance', () => {
  const { anova, range } = quantityFigures({
    quantity: 'level',
    setting: 'max',
    frequencyHz: 1000,
    toleranceDb: 8,
    readings: aiag.readings,
  })
  expect([range.classes.count, anova.classes.count]).toEqual([5, 4])
  expect(anova.pooled).toBe(true)
  expect(anova.interactionProbability).toBeCloseTo(0.97410640433, 9)
  expect(anova.gauge.deviationDb).toBeCloseTo(0.30237152232, 9)
  expect(anova.repeatability.deviationDb ** 2).toBeCloseTo(0.039973276353, 9)
  expect(anova.part.deviationDb ** 2).toBeCloseTo(1.0864466044, 8)
  // The published chain by ranges rounds its factors to four digits.
  expect(Math.abs(range.gauge.deviationDb - 0.30575)).toBeLessThan(3e-4)
  expect(anova.gauge.percentOfTolerance).toBeCloseTo((600 * anova.gauge.deviationDb) / 8, 9)
})

test('the order: every board in every set-up, its repeats together, the same again for the same seed', () => {
  const what = { serials, repeats: 3, setUps: 2, seed: 7 }
  const order = studyOrder(what)
  expect(order.map(({ position }) => position)).toEqual(Array.from({ length: 30 }, (_, i) => i + 1))
  expect(new Set(order.map((step) => `${step.serial} ${step.setUp} ${step.repeat}`)).size).toBe(30)
  for (let i = 0; i < 30; i += 3) {
    expect(order.slice(i, i + 3).map(({ repeat }) => repeat)).toEqual([1, 2, 3])
    expect(new Set(order.slice(i, i + 3).map(({ serial }) => serial)).size).toBe(1)
  }
  expect(order.slice(0, 15).every(({ setUp }) => setUp === 1)).toBe(true)
  expect(studyOrder(what)).toEqual(order)
  // Over many seeds every board comes first about equally often: 5 boards, 500 draws, 4 sigma of a binomial are 36.
  const firsts = Array.from({ length: 500 }, (_, seed) => studyOrder({ ...what, seed })[0].serial)
  for (const serial of serials) expect(Math.abs(firsts.filter((one) => one === serial).length - 100)).toBeLessThan(36)
})

test('the study finds what the simulated rig does to its boards', () => {
  const level = result.quantities.find(({ quantity, setting }) => quantity === 'level' && setting === 'max')
  // 15 times a board was put in: the standard deviation of 10 degrees of freedom lies within a factor of 2 of the truth
  // (chi-square, 99.9 %: 0.38 to 1.72).
  expect(level?.anova.gauge.deviationDb).toBeGreaterThan(0.38 * contactDb)
  expect(level?.anova.gauge.deviationDb).toBeLessThan(1.72 * contactDb)
  // The board was not taken out between repeats: only noise is left.
  expect(level?.anova.repeatability.deviationDb).toBeLessThan(0.01)
  expect(level?.anova.pooled).toBe(false)
  const { overall } = result
  expect(overall.reproducibilityDb).toBeGreaterThan(overall.repeatabilityDb)
  expect(overall.gaugeDb).toBeCloseTo(Math.hypot(overall.repeatabilityDb, overall.reproducibilityDb), 2)
  expect(overall.partDb).toBeGreaterThan(overall.gaugeDb)
  expect(overall.classes).toBe(Math.floor((1.41 * overall.partDb) / overall.gaugeDb))
})

test('quantities at 1 kHz and at octaves, curves over the band, sentences for the maker', () => {
  const max = result.quantities.filter(({ setting }) => setting === 'max')
  expect(max.map(({ frequencyHz }) => Math.round(frequencyHz))).toEqual([
    1000, 32, 63, 126, 251, 501, 1995, 3981, 7943, 15849,
  ])
  expect(max[0].toleranceDb).toBe(2 * product.testPlan.gainToleranceDb)
  const [curve] = result.curves
  expect(curve.frequencyHz.length).toBeGreaterThan(200)
  expect(curve.gaugeDb).toHaveLength(curve.frequencyHz.length)
  const told = result.words.join(' ')
  expect(told).toMatch(/^The rig tells these boards apart in \d+ classes/)
  expect(told).toMatch(/0\.0\d+ dB from one set-up to the next, (less than )?0\.00\d dB from one sweep to the next\./)
  expect(told).toMatch(/Taken over, the judge counts with 0\.0\d+ dB \(now 0\.030 dB, test plan\)/)
  expect(told).not.toContain('tell little of set-ups')
  const study = day.workshop.gaugeStudies.show(studyId).study
  expect(gaugeWords({ ...study, setUps: 2 }, result).join(' ')).toContain('2 set-ups tell little of set-ups')
})

test('taken over, the judge counts with it; older runs keep theirs; both are judged again alike', async () => {
  const { workshop } = day
  const before = await day.test('PLV-0001')
  expect(before.run.rigUncertainty).toBeNull()
  const taken = workshop.gaugeStudies.accept(studyId)
  expect(taken).toEqual({
    version: 1,
    studyId,
    rigUncertaintyDb: result.effect.rigUncertaintyDb,
    source: 'gauge study 1 of 2026-03-04, 30 readings',
  })
  const after = await day.test('PLV-0002')
  expect(after.run.rigUncertainty).toEqual(taken)
  expect(workshop.testRun(after.run.id).run.rigUncertainty).toEqual(taken)
  expect(after.run.planHash).not.toBe(before.run.planHash)
  // JCGM 106: guard band = z x root sum of squares; only the rig's part differs between the two runs.
  const guardAt = (run: typeof after.run) => run.judgement.settings[0].guardDb[100]
  const z = 1.6448536269514722
  const rigPart = (run: typeof after.run, rigDb: number) => Math.sqrt((guardAt(run) / z) ** 2 - rigDb ** 2)
  expect(guardAt(after.run)).toBeGreaterThan(guardAt(before.run))
  expect(rigPart(after.run, taken.rigUncertaintyDb)).toBeCloseTo(rigPart(before.run, 0.03), 3)
  for (const { run } of [before, after]) expect(workshop.rejudge(run.id)).toEqual(run.judgement)
  expect(workshop.check().findings).toEqual([])
  // The uncertainty is of this rig only.
  const upload = workshop.recordTestRun({ serial: 'PLV-0003', rig: 'upload', recordings: await day.record('PLV-0003') })
  expect(upload.run.rigUncertainty).toBeNull()
})

test('the test plan can count again, and a study once more, each as a version', async () => {
  const { workshop } = day
  const which = { rig: 'simulated' } as const
  workshop.gaugeStudies.accept(studyId)
  workshop.gaugeStudies.acceptPlan(which)
  expect(workshop.gaugeStudies.inForce(which)).toBeNull()
  expect((await day.test('PLV-0004')).run.rigUncertainty).toBeNull()
  const again = workshop.gaugeStudies.accept(studyId)
  expect(again.version).toBeGreaterThan(2)
  expect(workshop.gaugeStudies.inForce(which)).toEqual(again)
  expect(workshop.check().findings).toEqual([])
})

test('a study that is left is gone on with, also by another program; a bad recording stores nothing', async () => {
  const other = await rigDay({ contactDb })
  for (const serial of ['PLV-0001', 'PLV-0002']) other.workshop.registerUnit({ serial })
  const { gaugeStudies } = other.workshop
  const { study, next } = gaugeStudies.start({
    rig: 'simulated',
    serials: ['plv-0001', 'PLV-0002'],
    repeats: 2,
    setUps: 2,
  })
  expect(study).toMatchObject({ state: 'running', readings: 0, wanted: 8, serials: ['PLV-0001', 'PLV-0002'] })
  const recordings = await other.record(next?.serial ?? '')
  const reading = { studyId: study.id, rig: 'simulated', recordings } as const
  expect(() => gaugeStudies.addReading({ ...reading, position: 1, recordings: silenced(recordings) })).toThrow(
    expect.objectContaining({ code: 'recording-refused' }),
  )
  expect(() => gaugeStudies.addReading({ ...reading, position: 2 })).toThrow(/reading 1 is/)
  expect(() => gaugeStudies.addReading({ ...reading, position: 1, rig: 'upload' })).toThrow(/another rig/)
  expect(gaugeStudies.show(study.id).study.readings).toBe(0)
  gaugeStudies.addReading({ ...reading, position: 1 })
  expect(() => gaugeStudies.addReading({ ...reading, position: 1 })).toThrow(/reading 2 is/)
  other.workshop.close()
  const later = makeWorkshop({ store: openStore(other.file), station: 'bench' })
  const found = later.gaugeStudies.underWay({ rig: 'simulated' })
  expect(found).toMatchObject({ study: { id: study.id, readings: 1 }, next: { position: 2 } })
  expect(() => later.gaugeStudies.result(study.id)).toThrow(/1 of its 8 readings/)
  expect(() => later.gaugeStudies.accept(study.id)).toThrow(expect.objectContaining({ code: 'gauge-study-open' }))
  expect(() => later.gaugeStudies.start({ rig: 'simulated', serials: ['PLV-0001', 'PLV-0002'] })).toThrow(
    expect.objectContaining({ code: 'gauge-study-open' }),
  )
  expect(later.gaugeStudies.abandon({ id: study.id, note: 'a pin broke' }).state).toBe('abandoned')
  expect(later.gaugeStudies.underWay({ rig: 'simulated' })).toBeUndefined()
  expect(() => later.gaugeStudies.addReading({ ...reading, position: 2 })).toThrow(/abandoned/)
  expect(() => later.gaugeStudies.abandon({ id: study.id })).toThrow(/abandoned/)
  expect(later.check().findings).toEqual([])
  later.close()
})

test.each([
  ['one board', { serials: ['PLV-0001'] }, 'bad-argument'],
  ['the same board twice', { serials: ['PLV-0001', 'plv-0001'] }, 'bad-argument'],
  ['a board that is not known', { serials: ['PLV-0001', 'PLV-9999'] }, 'not-found'],
  ['one repeat', { serials, repeats: 1 }, 'bad-argument'],
  ['half a set-up', { serials, setUps: 1.5 }, 'bad-argument'],
  ['a seed below zero', { serials, seed: -1 }, 'bad-argument'],
])('no study of %s', (_what, wrong, code) => {
  const count = day.workshop.gaugeStudies.list().length
  expect(() => day.workshop.gaugeStudies.start({ rig: 'simulated', ...wrong })).toThrow(
    expect.objectContaining({ code }),
  )
  expect(day.workshop.gaugeStudies.list()).toHaveLength(count)
})

test('no reading on a rig that has drifted', async () => {
  const other = await rigDay()
  for (const serial of ['PLV-0001', 'PLV-0002']) other.workshop.registerUnit({ serial })
  const { study } = other.workshop.gaugeStudies.start({ rig: 'simulated', serials: ['PLV-0001', 'PLV-0002'] })
  other.drift({ drift: { levelDb: 1 } })
  await other.check()
  const recordings = await other.record('PLV-0001')
  expect(() =>
    other.workshop.gaugeStudies.addReading({ studyId: study.id, rig: 'simulated', position: 1, recordings }),
  ).toThrow(expect.objectContaining({ code: 'rig-drifted' }))
  other.workshop.close()
})
