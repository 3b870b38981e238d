import { beforeAll, expect, test } from 'vitest'
import type { Fault } from '../../src/circuit/fault.ts'
import { RunDiagnosis } from '../../src/model/run-diagnosis.ts'
import type { SettingRecording } from '../../src/workshop/workshop.ts'
import { newWorkshop } from './new-workshop.ts'
import { record, recordReference, silenced, sweep, wrongCapacitor } from './rig-recordings.ts'

// Failed boards on the simulated rig, through recordings, verdict and diagnosis.

const rig = 'simulated' as const
let ofReference: SettingRecording[]
let bad: SettingRecording[]
beforeAll(async () => {
  ofReference = await recordReference(1)
  bad = await record({ serial: 'PLV-0001', faults: wrongCapacitor })
})

const failedWorkshop = (recordings = bad) => {
  const workshop = newWorkshop()
  workshop.addReference({ recordings: ofReference })
  const { run } = workshop.recordTestRun({ serial: 'PLV-0001', rig, recordings, sweep })
  return { workshop, run }
}

test('a wrong capacitor is named first, with what is expected and what was found, and where it sits', async () => {
  const { workshop, run } = failedWorkshop()
  const before = workshop.lastSeq()
  const made = await workshop.diagnoseRun({ serial: ' plv-0001' })
  expect(made).toMatchObject({ id: 1, runId: run.id, serial: 'PLV-0001', station: 'bench' })
  const [first] = made.diagnosis.suspects
  expect(first.designators).toContain('C7')
  expect(first.probability).toBeGreaterThan(0.5)
  const suspicion = first.suspicions.find(({ designators }) => designators[0] === 'C7')
  expect(suspicion).toMatchObject({
    expected: expect.stringContaining('33 nF'),
    found: expect.stringMatching(/3\.3 nF/),
  })
  expect(RunDiagnosis.parse(made)).toEqual(made)
  // Kept with the run, and in the journal.
  expect(await workshop.diagnosis(run.id)).toEqual(made)
  expect(workshop.journalSince(before)).toMatchObject([
    {
      ...{ verb: 'diagnose-run', noun: 'test-run', key: run.id },
      detail: { diagnosisId: 1, serial: 'PLV-0001', suspect: { designators: first.designators } },
    },
  ])
  expect(workshop.check()).toMatchObject({ ok: true })
})

test('to look at a diagnosis changes nothing', async () => {
  const { workshop, run } = failedWorkshop()
  const before = workshop.lastSeq()
  const shown = await workshop.diagnosis(run.id)
  expect(shown).toMatchObject({ id: null, runId: run.id })
  expect(shown.diagnosis.suspects[0].designators).toContain('C7')
  expect(workshop.lastSeq()).toBe(before)
  expect((await workshop.diagnosis(run.id)).id).toBeNull()
})

test('what was told once still counts; a newer reading takes the place of the older; afresh forgets', async () => {
  const { workshop } = failedWorkshop()
  const first = await workshop.diagnoseRun({ serial: 'PLV-0001', supplyCurrentA: 6e-4, nodeVoltagesV: { half: 4.4 } })
  expect(first.evidence).toMatchObject({ supplyCurrentA: 6e-4, nodeVoltagesV: { half: 4.4 } })
  const nodeVoltagesV = { half: 4.2, gain: 4.3 }
  const next = await workshop.diagnoseRun({ runId: first.runId, nodeVoltagesV, soundParts: ['c8'] })
  expect(next.evidence).toEqual({
    supplyCurrentA: 6e-4,
    nodeVoltagesV,
    sweeps: [],
    soundParts: ['C8'],
    faultyParts: [],
  })
  expect(next.id).toBe(2)
  const turned = await workshop.diagnoseRun({ runId: first.runId, faultyParts: ['C8'] })
  expect(turned.evidence).toMatchObject({ soundParts: [], faultyParts: ['C8'] })
  // The curves speak for C7; a meter that says it is C8 makes that less sure.
  expect(turned.diagnosis.noneProbability).toBeGreaterThan(next.diagnosis.noneProbability)
  const afresh = await workshop.diagnoseRun({ runId: first.runId, afresh: true })
  expect(afresh.evidence).toMatchObject({ supplyCurrentA: null, nodeVoltagesV: {}, faultyParts: [] })
})

test('a sweep at another setting, and one with a probe at a node, are measured, kept and taken into account', async () => {
  const { workshop, run } = failedWorkshop()
  const settings = ['bass-only', 'max']
  const [further, probed] = await record({ serial: 'PLV-0001', faults: wrongCapacitor, settings })
  const made = await workshop.diagnoseRun({ runId: run.id, sweep, recordings: [further] })
  expect(made.evidence.sweeps).toMatchObject([{ node: null, measurement: { setting: 'bass-only', usable: true } }])
  // The output node read by the probe must agree with the output itself.
  const output = workshop.product().circuit.output
  const both = await workshop.diagnoseRun({ runId: run.id, sweep, recordings: [{ ...probed, node: output }] })
  expect(both.evidence.sweeps.map(({ node }) => node)).toEqual([null, output])
  expect(both.diagnosis.misfit.numbers).toBeGreaterThan(made.diagnosis.misfit.numbers)
  expect(both.diagnosis.suspects[0].designators).toContain('C7')
  expect(await workshop.diagnosis(run.id)).toEqual(both)
})

test('a meter that shows the half supply at zero turns the suspicion to what pulls it down', async () => {
  // A short across C2 takes the half supply to ground: every op-amp is stuck, and the rig hears next to nothing.
  const faults: readonly Fault[] = [{ kind: 'short', designator: 'C2' }]
  const { workshop, run } = failedWorkshop(await record({ serial: 'PLV-0001', faults }))
  expect(run.verdict).not.toBe('pass')
  const made = await workshop.diagnoseRun({ runId: run.id, nodeVoltagesV: { half: 0 } })
  const leading = made.diagnosis.suspects.slice(0, 3).flatMap(({ designators }) => designators)
  expect(leading.some((designator) => ['C2', 'R1', 'R2'].includes(designator))).toBe(true)
})

test.each([
  [{ runId: 'R-0' }, 'not-found'],
  [{ serial: 'PLV-0009' }, 'not-found'],
  [{ serial: 'a b' }, 'bad-serial'],
  [{}, 'bad-argument'],
  [{ nodeVoltagesV: { nowhere: 1 } }, 'bad-argument'],
  [{ nodeVoltagesV: { half: Number.NaN } }, 'bad-argument'],
  [{ supplyCurrentA: -1 }, 'bad-argument'],
  [{ soundParts: ['C99'] }, 'part-unknown'],
  [{ soundParts: ['C7'], faultyParts: ['c7'] }, 'bad-argument'],
] as const)('%j is refused with the code %s, and nothing is kept', async (what, code) => {
  const { workshop, run } = failedWorkshop()
  const before = workshop.lastSeq()
  const isUnnamed = !('runId' in what) && !('serial' in what) && Object.keys(what).length > 0
  const asked = isUnnamed ? { ...what, runId: run.id } : what
  await expect(workshop.diagnoseRun(asked)).rejects.toMatchObject({ code })
  expect(workshop.lastSeq()).toBe(before)
})

test('a further sweep that proves nothing, at no setting of the product or at no node, is refused', async () => {
  const { workshop, run } = failedWorkshop()
  const [recording] = bad
  const ask = (changed: object) =>
    workshop.diagnoseRun({ runId: run.id, sweep, recordings: [{ ...recording, ...changed }] })
  await expect(ask({ setting: 'loud' })).rejects.toMatchObject({ code: 'setting-unknown' })
  await expect(ask({ node: 'nowhere' })).rejects.toMatchObject({ code: 'bad-argument' })
  await expect(ask(silenced([recording])[0])).rejects.toMatchObject({ code: 'recording-refused' })
})

test('a unit that was not tested, and a run of another unit, cannot be diagnosed', async () => {
  const { workshop, run } = failedWorkshop()
  workshop.registerUnit({ serial: 'PLV-0002' })
  await expect(workshop.diagnoseRun({ serial: 'PLV-0002' })).rejects.toMatchObject({ code: 'not-diagnosable' })
  await expect(workshop.diagnoseRun({ serial: 'PLV-0002', runId: run.id })).rejects.toMatchObject({
    code: 'bad-argument',
  })
  const cut = bad.map((recording) => ({
    ...recording,
    audio: { ...recording.audio, channels: recording.audio.channels.map((channel) => channel.slice(0, 9000)) },
  }))
  const nothing = workshop.recordTestRun({ serial: 'PLV-0003', rig, recordings: cut, sweep }).run
  expect(nothing.verdict).toBe('repeat')
  await expect(workshop.diagnoseRun({ runId: nothing.id })).rejects.toMatchObject({ code: 'not-diagnosable' })
  await expect(workshop.diagnosis(nothing.id)).rejects.toMatchObject({ code: 'not-diagnosable' })
})
