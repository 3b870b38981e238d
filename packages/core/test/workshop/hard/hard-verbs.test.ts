import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import Database from 'better-sqlite3'
import { afterAll, beforeAll, describe, expect, it, vi } from 'vitest'
import { makeHardRig } from '../../../src/audio/hard-rig.ts'
import { makeSimulatedRig } from '../../../src/audio/simulated-rig.ts'
import type { Fault } from '../../../src/circuit/fault.ts'
import { Product } from '../../../src/model/product.ts'
import { openStore } from '../../../src/store/open-store.ts'
import type { HardRecording } from '../../../src/workshop/hard/hard-verbs.ts'
import { makeWorkshop } from '../../../src/workshop/make-workshop.ts'
import type { Workshop } from '../../../src/workshop/workshop.ts'
import { record, recordReference, product as usual } from '../rig-recordings.ts'

// A real workshop file, and the Plover on the simulated rig with its op-amps at their limits; one tone and one supply, so
// that the circuit is stepped for seconds and not for a minute.
const { hard: wholePlan } = usual.testPlan
const product = Product.parse({
  ...usual,
  testPlan: {
    ...usual.testPlan,
    hard: {
      ...wholePlan,
      sweep: { levelV: 0.6, durationS: 1 },
      tonesHz: [1010],
      ladder: { fromV: 0.2, toV: 1, stepDb: 2 },
      supplies: [wholePlan!.supplies[1]],
    },
  },
})
const hard = product.testPlan.hard!
/** R2 of another value: the bias lies off the middle, so one half of the wave is held first. */
const offBias: readonly Fault[] = [{ kind: 'value', designator: 'R2', value: '33 kohm' }]
const rig = 'simulated' as const
// The circuit is stepped for seconds; on a machine that is busy with other things that takes a while.
vi.setConfig({ testTimeout: 240_000, hookTimeout: 240_000 })

let folder: string
let file: string
let workshop: Workshop

async function press(serial: string, faults: readonly Fault[] = []): Promise<HardRecording[]> {
  const device = makeHardRig(
    makeSimulatedRig({ product, speed: Number.POSITIVE_INFINITY, boardNoise: false, faultsOf: () => faults }),
  )
  const stimuli = workshop.hard.stimuli({})
  const [supply] = hard.supplies
  const of = (part: 'sweep' | 'ladder') =>
    device.record({ serial, setting: hard.setting, supply, part, ...stimuli[part] })
  return [{ supply: supply.name, sweep: await of('sweep'), ladder: await of('ladder') }]
}

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'boardwright-hard-'))
  file = join(folder, 'shop.boardwright')
  let time = Date.parse('2026-03-04T09:00:00.000Z')
  const clock = {
    now() {
      time += 1000
      return new Date(time)
    },
  }
  workshop = makeWorkshop({ store: openStore(file, { create: true }), station: 'bench', clock })
  workshop.addProduct(product)
  workshop.addReference({ recordings: await recordReference(2) })
  for (const serial of ['PLV-0001', 'PLV-0002'])
    workshop.recordTestRun({ serial, rig, recordings: await record({ serial }) })
})

afterAll(() => {
  workshop.close()
  rmSync(folder, { recursive: true, force: true })
})

const stateOf = (serial: string) => workshop.unit(serial).unit.state
const codeOf = (work: () => unknown): string | undefined => {
  try {
    work()
  } catch (error) {
    return (error as { code?: string }).code
  }
}

describe('a board pressed hard', () => {
  it('needs the signature of the reference board first', async () => {
    const recordings = await press('PLV-0001')
    expect(codeOf(() => workshop.hard.record({ serial: 'PLV-0001', rig, recordings }))).toBe('no-hard-reference')
    expect(workshop.hard.currentReference()).toBeUndefined()
    const made = workshop.hard.addReference({
      takes: [await press('REFERENCE'), await press('REFERENCE')],
      note: 'board 3',
    })
    expect(made).toMatchObject({ version: 1, note: 'board 3', revision: 'A' })
    expect(workshop.hard.currentReference()).toEqual(made)
    expect(workshop.hard.references()).toHaveLength(1)
  })

  it('that is sound passes, stays on the shelf, and keeps its record', async () => {
    const { run, unit } = workshop.hard.record({ serial: 'plv-0001', rig, recordings: await press('PLV-0001') })
    expect(run).toMatchObject({ serial: 'PLV-0001', verdict: 'pass', referenceVersion: 1, rigSettings: null })
    expect(unit.state).toBe('ready')
    expect(workshop.hard.run(run.id).run).toEqual(run)
    expect(workshop.hard.ofUnit('PLV-0001')).toMatchObject([{ id: run.id, verdict: 'pass' }])
    expect(workshop.hard.rejudge(run.id)).toEqual(run.judgement)
    // The op-amp of the Plover stops 1.2 V below the battery less a diode, and 1.0 V above ground, half-way biased.
    const swing = Math.max(...run.signature.supplies[0].steps.map((step) => step.highV))
    expect(swing).toBeGreaterThan(1.9)
    expect(swing).toBeLessThan(2.7)
  })

  it('with its bias off the middle fails, and is off the shelf', async () => {
    const { run, unit } = workshop.hard.record({
      serial: 'PLV-0002',
      rig,
      recordings: await press('PLV-0002', offBias),
    })
    expect(run.verdict).toBe('fail')
    expect(run.judgement.character.join(' ')).toContain('the lower half is held')
    expect(unit.state).toBe('failed')
    const history = workshop.unit('PLV-0002').history[0]
    expect(history).toMatchObject({ verb: 'record-hard-run', detail: { verdict: 'fail', from: 'ready', to: 'failed' } })
  })

  it('is not made ready by a sweep alone, but by a rework or by passing', async () => {
    const swept = workshop.recordTestRun({
      serial: 'PLV-0002',
      rig,
      recordings: await record({ serial: 'PLV-0002', seed: 5 }),
    })
    expect(swept.run.verdict).toBe('pass')
    expect(swept.unit.state).toBe('failed')
    const db = new Database(file)
    expect(() => db.prepare("UPDATE unit SET state = 'ready' WHERE serial = 'PLV-0002'").run()).toThrow(/pressed hard/)
    db.close()
    workshop.hard.record({ serial: 'PLV-0002', rig, recordings: await press('PLV-0002') })
    expect(stateOf('PLV-0002')).toBe('ready')
    workshop.hard.record({ serial: 'PLV-0002', rig, recordings: await press('PLV-0002', offBias) })
    expect(stateOf('PLV-0002')).toBe('failed')
    workshop.recordRework({ serial: 'PLV-0002', designator: 'R2', action: 'replaced' })
    const again = workshop.recordTestRun({
      serial: 'PLV-0002',
      rig,
      recordings: await record({ serial: 'PLV-0002', seed: 6 }),
    })
    expect(again.unit.state).toBe('ready')
  })

  it('whose recording is silent is to be repeated, and stays where it was', async () => {
    const [visit] = await press('PLV-0001')
    const silent = { ...visit.ladder, channels: [new Float64Array(visit.ladder.channels[0].length)] }
    const { run, unit } = workshop.hard.record({ serial: 'PLV-0001', rig, recordings: [{ ...visit, ladder: silent }] })
    expect(run.verdict).toBe('repeat')
    expect(run.judgement.reasons[0].code).toBe('recording')
    expect(unit.state).toBe('ready')
    expect(codeOf(() => workshop.hard.addReference({ takes: [[{ ...visit, ladder: silent }]] }))).toBe(
      'recording-refused',
    )
  })

  it('refuses what cannot be judged', async () => {
    const recordings = await press('PLV-0001')
    const code = (what: Partial<Parameters<Workshop['hard']['record']>[0]>) =>
      codeOf(() => workshop.hard.record({ serial: 'PLV-0001', rig, recordings, ...what }))
    expect(code({ serial: 'PLV-0099' })).toBe('not-found')
    expect(code({ serial: '??' })).toBe('bad-serial')
    expect(code({ recordings: [] })).toBe('supply-missing')
    expect(code({ recordings: [{ ...recordings[0], supply: 'solar' }] })).toBe('supply-missing')
    expect(codeOf(() => workshop.hard.run('R-NONE'))).toBe('not-found')
  })

  it('is proved again by the check, and never changed', () => {
    expect(workshop.check()).toMatchObject({ ok: true })
    const db = new Database(file)
    for (const table of ['hard_run', 'hard_reference']) {
      expect(() => db.prepare(`UPDATE ${table} SET station = 'x'`).run()).toThrow()
      expect(() => db.prepare(`DELETE FROM ${table}`).run()).toThrow()
    }
    db.exec('DROP TRIGGER hard_run_fixed')
    db.prepare("UPDATE hard_run SET verdict = 'pass' WHERE verdict = 'fail'").run()
    db.close()
    const report = workshop.check()
    expect(report.ok).toBe(false)
    expect(report.findings.some((one) => one.code === 'verdict-differs' && one.message.includes('Hard run'))).toBe(true)
  })
})
