import { beforeAll, expect, test } from 'vitest'
import { makeSweep } from '../../src/response/sweep/sweep.ts'
import type { SettingRecording } from '../../src/workshop/workshop.ts'
import { newWorkshop } from './new-workshop.ts'
import { product, record, recordReference, sweep } from './rig-recordings.ts'

let ofReference: SettingRecording[]
let good: SettingRecording[]
beforeAll(async () => {
  ofReference = await recordReference()
  good = await record({ serial: 'PLV-0001' })
})
const rig = 'simulated' as const
const copy = (): SettingRecording[] => structuredClone(good)

const referencedWorkshop = () => {
  const workshop = newWorkshop()
  workshop.addReference({ recordings: ofReference })
  return workshop
}

test('a verdict is the same, to the last bit, whether a recording was measured ahead or not', () => {
  const workshop = referencedWorkshop()
  const plain = workshop.recordTestRun({ serial: 'PLV-0001', rig, recordings: copy(), sweep })
  const recordings = copy()
  const ahead = workshop.measureAhead({ recording: recordings[0], sweep })
  const quick = workshop.recordTestRun({ serial: 'PLV-0001', rig, recordings, sweep })
  expect(quick.run.judgement).toEqual(plain.run.judgement)
  expect(quick.run.measurements).toEqual(plain.run.measurements)
  expect(quick.run.measurements[0]).toEqual(ahead)
  expect(workshop.rejudge(quick.run.id)).toEqual(quick.run.judgement)
  workshop.close()
})

test('what was measured ahead is not measured again, and nothing is stored by it', () => {
  const workshop = referencedWorkshop()
  const before = workshop.lastSeq()
  const recordings = copy()
  for (const recording of recordings) workshop.measureAhead({ recording, sweep })
  expect(workshop.lastSeq()).toBe(before)
  // Measured again, it would now be silent.
  for (const { audio } of recordings) audio.channels[0].fill(0)
  expect(workshop.recordTestRun({ serial: 'PLV-0001', rig, recordings, sweep }).run.verdict).toBe('pass')
  workshop.close()
})

test('it holds for the same recording, stimulus and channels only', () => {
  const workshop = referencedWorkshop()
  const recordings = copy()
  for (const recording of recordings) workshop.measureAhead({ recording, sweep })
  for (const { audio } of recordings) audio.channels[0].fill(0)
  const others = recordings.map((recording) => ({ ...recording }))
  expect(workshop.recordTestRun({ serial: 'PLV-0001', rig, recordings: others, sweep }).run.verdict).toBe('repeat')
  const again = makeSweep(product.testPlan.stimulus)
  expect(workshop.recordTestRun({ serial: 'PLV-0001', rig, recordings, sweep: again }).run.verdict).toBe('repeat')
  workshop.close()
})

test('preparing a run stores nothing and changes no verdict, with a reference and without one', () => {
  newWorkshop().prepareRun({})
  const workshop = referencedWorkshop()
  const plain = workshop.recordTestRun({ serial: 'PLV-0001', rig, recordings: copy(), sweep })
  const before = workshop.lastSeq()
  workshop.prepareRun({ productId: product.id, sweep })
  workshop.prepareRun({})
  expect(workshop.lastSeq()).toBe(before)
  const again = workshop.recordTestRun({ serial: 'PLV-0001', rig, recordings: copy(), sweep })
  expect(again.run.judgement).toEqual(plain.run.judgement)
  workshop.close()
})
