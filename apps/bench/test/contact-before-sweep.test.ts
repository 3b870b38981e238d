import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { type Product, parseProduct, rigVersionOf } from '@boardwright/core'
import { makeSimulatedRig, type RigDriver } from '@boardwright/core/audio'
import type { Fault } from '@boardwright/core/circuit'
import { openStore } from '@boardwright/core/store'
import { makeWorkshop, type SettingRecording, type Workshop } from '@boardwright/core/workshop'
import { afterEach, beforeEach, expect, test } from 'vitest'
import plover from '../../../shared/products/plover.json' with { type: 'json' }
import { runTest } from '../src/session/run-test.ts'
import { stimulusOf } from '../src/session/stimulus.ts'
import type { RunAnswer, RunQuestion } from '../src/session/test-request.ts'

// The contact check in front of the sweep, on simulated boards that go through the circuit like any other.

const { hard: _, rigCheck: __, ...testPlan } = plover.testPlan as Record<string, unknown>
const short = { ...plover.testPlan.stimulus, durationS: 1, silenceBeforeS: 0.1, silenceAfterS: 0.4 }
const text = JSON.stringify({ ...plover, testPlan: { ...testPlan, stimulus: short } })

let folder: string
let workshop: Workshop
let product: Product
/** What was played in this test: sweeps by setting. */
let swept: string[]

function rigOf(options: { faults?: readonly Fault[]; loose?: readonly Fault[] } = {}): RigDriver {
  const rig = makeSimulatedRig({
    product,
    speed: Number.POSITIVE_INFINITY,
    clip: false,
    boardNoise: false,
    faultsOf: () => options.faults ?? [],
    looseContactOf: () => options.loose ?? [],
  })
  return {
    ...rig,
    run: (request) => {
      swept.push(request.setting)
      return rig.run(request)
    },
  }
}

beforeEach(async () => {
  swept = []
  folder = mkdtempSync(join(tmpdir(), 'boardwright-contact-'))
  workshop = makeWorkshop({ store: openStore(join(folder, 'shop.boardwright'), { create: true }), station: 'bench-1' })
  product = workshop.addProduct(parseProduct(text, { source: 'plover.json' }))
  const recordings: SettingRecording[] = []
  for (const setting of ['max', 'min', 'centre'])
    recordings.push({ setting, ...(await rigOf().run({ serial: 'REFERENCE', setting, sweep: stimulusOf(product) })) })
  workshop.addReference({ recordings })
  swept = []
})
afterEach(() => {
  workshop.close()
  rmSync(folder, { recursive: true, force: true })
})

/** Runs a test and answers what it asks with these answers in turn. */
async function run(rig: RigDriver, answers: RunAnswer[] = []) {
  const questions: RunQuestion[] = []
  const ask = async (question: RunQuestion) => {
    questions.push(question)
    const answer = answers.shift()
    if (!answer) throw new Error('nobody answers')
    return answer
  }
  const { signal } = new AbortController()
  const outcome = await runTest({ workshop, rig, product, serial: 'PLV-0001', signal, onProgress: () => {}, ask }).then(
    ({ recorded }) => recorded.run.verdict,
    (error: Error) => error.message,
  )
  return { outcome, questions }
}

const openPin = (node: string): Fault => ({ kind: 'pin-open', node })

test('a sound board is not asked about', async () => {
  expect(await run(rigOf())).toEqual({ outcome: 'pass', questions: [] })
  expect(swept).toEqual(['max', 'min'])
})

test.each([
  ['battery', 'unpowered', /no power/],
  ['out', 'open-pin', /pin at out does not touch/i],
  ['in', 'open-pin', /pin at in does not touch/i],
])('an open pin at %s: no sweep is played, and the person is told', async (node, kind, words) => {
  const { outcome, questions } = await run(rigOf({ faults: [openPin(node)] }))
  expect(outcome).toBe('nobody answers')
  expect(questions).toMatchObject([{ kind: 'contact', setting: 'max', check: { kind } }])
  const [question] = questions
  expect(question.kind === 'contact' && question.check.message).toMatch(words)
  expect(swept).toEqual([])
})

test('pressed down and tried again, the sweep is played', async () => {
  const { outcome, questions } = await run(rigOf({ loose: [openPin('battery')] }), ['go'])
  expect({ outcome, asked: questions.length }).toEqual({ outcome: 'pass', asked: 1 })
})

test('measured all the same, it is asked once, and the journal keeps it', async () => {
  const { outcome, questions } = await run(rigOf({ faults: [openPin('out')] }), ['measure'])
  expect(questions).toHaveLength(1)
  expect(outcome).not.toBe('pass')
  expect(swept).toEqual(['max', 'min'])
  const { history } = workshop.unit('PLV-0001')
  expect(history.find(({ verb }) => verb === 'overrule-contact')?.detail).toMatchObject({ kind: 'open-pin' })
})

test('with nobody to ask, a bad contact ends the run and stores nothing', async () => {
  const { signal } = new AbortController()
  const rig = rigOf({ faults: [openPin('out')] })
  const alone = runTest({ workshop, rig, product, serial: 'PLV-0001', signal, onProgress: () => {} })
  await expect(alone).rejects.toMatchObject({ code: 'contact-problem' })
  expect(workshop.units()).toEqual([])
})

test('a board with a wrong part is swept: that is for the verdict to find', async () => {
  const { outcome, questions } = await run(rigOf({ faults: [{ kind: 'value', designator: 'C7', value: '3.3 nF' }] }))
  expect({ outcome, questions }).toEqual({ outcome: 'fail', questions: [] })
})

test('a rig whose levels are known plays at the voltage of the test plan, and at its own rate', () => {
  const settings = workshop.rig.save({ changes: { output: { device: 'a' }, input: { device: 'b' }, rateHz: 96_000 } })
  expect(stimulusOf(product, settings).settings).toMatchObject({ rateHz: 96_000, levelDbfs: -26 })
  const level = (level: number) => {
    const data = { level, unit: 'Vrms' } as const
    return workshop.rig.calibrateLevels({ from: { kind: 'data', output: data, input: data } })
  }
  // 2 V r.m.s. has a peak of 2.8284 V; 0.2 V is 23.01 dB below.
  expect(stimulusOf(product, level(2)).settings.levelDbfs).toBeCloseTo(-23.01, 2)
  expect(() => stimulusOf(product, level(0.1))).toThrow(/wants 200 mV|wants 0\.2 V/)
  expect(rigVersionOf(settings)).toEqual({ name: 'rig', version: 1 })
})
