import { beforeAll, describe, expect, test } from 'vitest'
import type { Fault } from '../../src/circuit/fault.ts'
import { Product } from '../../src/model/product.ts'
import { planHash } from '../../src/response/judge/plan-hash.ts'
import type { SettingRecording } from '../../src/workshop/workshop.ts'
import { newWorkshop } from './new-workshop.ts'
import { product, record, recordReference, silenced } from './rig-recordings.ts'

// The whole-shape test as part of the verdict, by recordings of the simulated rig through the whole chain.

const rig = 'simulated' as const
/** The neighbour of 33 nF in the drawer: every band limit is kept, but no healthy board answers like that. */
const neighbour: readonly Fault[] = [{ kind: 'value', designator: 'C7', value: '27 nF' }]

let ofReference: SettingRecording[]
let good: SettingRecording[]
let odd: SettingRecording[]
beforeAll(async () => {
  ofReference = await recordReference(1)
  good = await record({ serial: 'PLV-0001' })
  odd = await record({ serial: 'PLV-0002', faults: neighbour })
})

/** A workshop with the reference and a product whose test plan is changed. */
const workshopWith = (plan: Partial<Product['testPlan']>) => {
  const changed = Product.parse({ ...product, testPlan: { ...product.testPlan, ...plan } })
  const workshop = newWorkshop({ withProduct: false })
  workshop.addProduct(changed)
  workshop.addReference({ recordings: ofReference })
  const judge = (recordings: SettingRecording[]) => workshop.recordTestRun({ serial: 'PLV-0001', rig, recordings }).run
  return { workshop, judge, changed }
}

test('a board inside every band limit but of a shape that no healthy board has fails, with the reason in words', () => {
  const { workshop, judge } = workshopWith({})
  const run = judge(odd)
  expect(run.verdict).toBe('fail')
  expect(run.judgement.settings.map((setting) => setting.verdict)).toEqual(['pass', 'pass'])
  expect(run.judgement.mirror?.verdict).toBe('pass')
  expect(run.judgement.reasons.map(({ code, verdict }) => ({ code, verdict }))).toEqual([
    { code: 'shape', verdict: 'fail' },
  ])
  const [{ message, setting }] = run.judgement.reasons
  expect(message).toMatch(/at (max|min) near \d+ Hz.*healthy board/)
  expect(run.judgement.shape).toMatchObject({ verdict: 'fail', falseFail: 0.005, worst: { setting } })
  expect(run.judgement.shape?.probability).toBeLessThan(0.005)
  // The bass network: C7 acts below some hundred hertz.
  expect(run.judgement.shape?.worst.frequencyHz).toBeLessThan(600)
  expect(workshop.unit('PLV-0001')).toMatchObject({ unit: { state: 'failed' }, runs: [{ reason: message }] })
})

test('without the rule in the test plan the same board passes', () => {
  const { judge } = workshopWith({ shape: undefined })
  const run = judge(odd)
  expect(run.judgement.shape).toBeUndefined()
  expect(run.verdict).toBe('pass')
})

test('healthy boards keep their pass, and the judgement says how strange they look', async () => {
  const { judge } = workshopWith({})
  for (let i = 1; i <= 8; i++) {
    const run = judge(await record({ serial: `PLV-01${i}` }))
    expect(run.verdict, run.judgement.reasons[0].message).toBe('pass')
    expect(run.judgement.reasons.map((reason) => reason.code)).toEqual(['passed'])
    expect(run.judgement.shape?.probability).toBeGreaterThan(0.005)
  }
})

test('the verdict is computed again from what is stored, the shape too (invariant 4)', () => {
  const { workshop, judge, changed } = workshopWith({})
  const run = judge(odd)
  expect(workshop.rejudge(run.id)).toEqual(run.judgement)
  expect(workshop.check()).toMatchObject({ ok: true, runsChecked: 1 })
  const reference = workshop.testRun(run.id).reference
  expect(run.planHash).toBe(planHash({ plan: changed.testPlan, reference }))
  const { shape: _, ...bandsOnly } = changed.testPlan
  expect(run.planHash).not.toBe(planHash({ plan: bandsOnly, reference }))
})

test('measured ahead or not, the shape is judged the same', () => {
  const { workshop, judge } = workshopWith({})
  const plain = judge(structuredClone(odd)).judgement.shape
  const recordings = structuredClone(odd)
  for (const recording of recordings) workshop.measureAhead({ recording })
  expect(judge(recordings).judgement.shape).toEqual(plain)
})

describe('nothing is said of the shape', () => {
  test('where a recording proves nothing', () => {
    const { judge } = workshopWith({})
    const run = judge([odd[0], ...silenced([odd[1]])])
    expect(run).toMatchObject({ verdict: 'repeat' })
    expect(run.judgement.shape).toBeUndefined()
  })

  test('where the signal is upside down against the reference', () => {
    const { judge } = workshopWith({})
    const turned = odd.map(({ audio, ...rest }) => ({
      ...rest,
      audio: { ...audio, channels: audio.channels.map((channel) => channel.map((value) => -value)) },
    }))
    const run = judge(turned)
    expect(run.verdict).toBe('repeat')
    expect(run.judgement.shape).toBeUndefined()
  })
})

test('a board that breaks a band has its plainer reason, the shape stands beside it', async () => {
  const { judge } = workshopWith({})
  const run = judge(await record({ serial: 'PLV-0001', faults: [{ kind: 'open', designator: 'C7' }] }))
  expect(run.verdict).toBe('fail')
  expect(run.judgement.reasons.map((reason) => reason.code)).not.toContain('shape')
  expect(run.judgement.shape?.verdict).toBe('fail')
})

test('where a band leaves the level out, the shape test does too', () => {
  const louder = (recordings: SettingRecording[]) =>
    recordings.map(({ audio, ...rest }) => ({
      ...rest,
      // 0.8 dB: within the tolerance of the gain, far from what parts can do.
      audio: { ...audio, channels: audio.channels.map((channel) => channel.map((value) => value * 1.0965)) },
    }))
  const aligned = product.testPlan.bands.map((band) => ({ ...band, compare: 'aligned' as const }))
  expect(workshopWith({}).judge(louder(good)).judgement.shape?.verdict).toBe('fail')
  expect(workshopWith({ bands: aligned }).judge(louder(good)).judgement.shape?.verdict).toBe('pass')
  expect(workshopWith({ bands: aligned }).judge(odd).judgement.shape?.verdict).toBe('fail')
})

test('a product with the rule whose circuit cannot be solved is refused when it is loaded', () => {
  const workshop = newWorkshop({ withProduct: false })
  const { circuit } = product
  const elements = circuit.elements.map((element) =>
    element.designator === 'R5' ? { ...element, value: '0 ohm' } : element,
  )
  expect(() => workshop.addProduct({ ...product, circuit: { ...circuit, elements } } as Product)).toThrow(
    expect.objectContaining({ code: 'bad-circuit' }),
  )
  expect(workshop.products()).toEqual([])
})
