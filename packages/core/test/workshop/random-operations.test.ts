import { copyFileSync } from 'node:fs'
import { join } from 'node:path'
import Database from 'better-sqlite3'
import fc from 'fast-check'
import { expect, test } from 'vitest'
import type { UnitState } from '../../src/model/unit.ts'
import type { Verdict } from '../../src/model/verdict.ts'
import type { SettingRecording, Workshop } from '../../src/workshop/workshop.ts'
import { temporaryFolder } from '../store/temporary-folder.ts'
import { newWorkshop } from './new-workshop.ts'
import { record, recordReference, silenced, wrongCapacitor } from './rig-recordings.ts'

// Random work on a workshop against a list in memory that knows nothing of SQLite: two programs on one file take turns,
// and another hand tries to promise units.

type Quality = 'good' | 'bad' | 'silent'
type Operation =
  | { verb: 'register'; serial: string }
  | { verb: 'test'; serial: string; quality: Quality }
  | { verb: 'rework'; serial: string }
  | { verb: 'promise'; serial: string; state: 'reserved' | 'shipped' }
  | { verb: 'reopen' }

interface ModelUnit {
  state: UnitState
  verdicts: Verdict[]
  /** Something was soldered since the last test. */
  reworked: boolean
}
type Model = { units: Map<string, ModelUnit>; entries: number }

const verdictOf: Record<Quality, Verdict> = { good: 'pass', bad: 'fail', silent: 'repeat' }

const serial = fc.constantFrom('PLV-1', 'PLV-2', 'PLV-3')
const operation: fc.Arbitrary<Operation> = fc.oneof(
  fc.record({ verb: fc.constant('register' as const), serial }),
  {
    weight: 4,
    arbitrary: fc.record({
      verb: fc.constant('test' as const),
      serial,
      quality: fc.constantFrom<Quality>('good', 'bad', 'silent'),
    }),
  },
  { weight: 2, arbitrary: fc.record({ verb: fc.constant('rework' as const), serial }) },
  fc.record({ verb: fc.constant('promise' as const), serial, state: fc.constantFrom('reserved', 'shipped') }),
  fc.record({ verb: fc.constant('reopen' as const) }),
)

const register = (model: Model, of: string): ModelUnit => {
  const unit: ModelUnit = { state: 'untested', verdicts: [], reworked: false }
  model.units.set(of, unit)
  model.entries += 1
  return unit
}

/** What the rules say; true when the operation must be refused. */
function refusedByModel(model: Model, op: Operation): boolean {
  if (op.verb === 'reopen') return false
  const unit = model.units.get(op.serial)
  if (op.verb === 'register') {
    if (unit) return true
    register(model, op.serial)
    return false
  }
  if (op.verb === 'promise') {
    if (!unit) return false
    if (unit.verdicts.at(-1) !== 'pass' || unit.reworked) return true
    unit.state = op.state
    return false
  }
  if (unit?.state === 'reserved' || unit?.state === 'shipped') return true
  if (op.verb === 'rework') {
    if (!unit) return true
    unit.state = 'untested'
    unit.reworked = true
    model.entries += 2
    return false
  }
  const tested = unit ?? register(model, op.serial)
  tested.reworked = false
  const verdict = verdictOf[op.quality]
  tested.verdicts.push(verdict)
  if (verdict === 'pass') tested.state = 'ready'
  else if (verdict === 'fail') tested.state = 'failed'
  else if (tested.state === 'ready') tested.state = 'untested'
  model.entries += 2
  return false
}

function apply(workshop: Workshop, op: Operation, recordings: Record<Quality, SettingRecording[]>): void {
  if (op.verb === 'register') workshop.registerUnit({ serial: op.serial })
  if (op.verb === 'test')
    workshop.recordTestRun({ serial: op.serial, rig: 'simulated', recordings: recordings[op.quality] })
  if (op.verb === 'rework') workshop.recordRework({ serial: op.serial, designator: 'C7', action: 'replaced' })
  if (op.verb === 'promise') {
    const other = new Database(workshop.file)
    try {
      other.prepare('UPDATE unit SET state = ? WHERE serial = ?').run(op.state, op.serial)
    } finally {
      other.close()
    }
  }
}

function expectEqual(workshop: Workshop, model: Model): void {
  expect(workshop.lastSeq()).toBe(model.entries)
  const units = workshop.units()
  expect(units.length).toBe(model.units.size)
  for (const unit of units) {
    const expected = model.units.get(unit.serial)!
    const { runs, reworks } = workshop.unit(unit.serial)
    const verdicts = runs.map((run) => run.verdict).reverse()
    const reworked = reworks.length > 0 && reworks[0].afterRunId === (runs[0]?.id ?? null)
    expect({ state: unit.state, verdicts, reworked }).toEqual(expected)
    expect(unit.lastRun).toEqual(runs[0] ?? null)
    if (unit.state === 'ready' || unit.state === 'reserved' || unit.state === 'shipped')
      expect({ verdict: runs[0].verdict, reworked }).toEqual({ verdict: 'pass', reworked: false })
  }
}

test('whatever two programs do in turn, the file agrees with a list in memory', { timeout: 600_000 }, async () => {
  const folder = temporaryFolder()
  const good = await record({ serial: 'PLV-0001' })
  const bad = await record({ serial: 'PLV-0001', faults: wrongCapacitor })
  const recordings = { good, bad, silent: silenced(good) }
  const begun = newWorkshop({ file: join(folder, 'begun.boardwright') })
  begun.addReference({ recordings: await recordReference(1) })
  const entries = begun.lastSeq()
  begun.close()

  let round = 0
  const work = (operations: readonly Operation[]) => {
    const file = join(folder, `${++round}.boardwright`)
    copyFileSync(join(folder, 'begun.boardwright'), file)
    const open = (station: string) => newWorkshop({ file, station, withProduct: false })
    const programs = [open('bench'), open('desk')]
    const model: Model = { units: new Map(), entries }
    operations.forEach((op, i) => {
      const turn = i % 2
      if (op.verb === 'reopen') {
        programs[turn].close()
        programs[turn] = open('again')
      }
      const version = programs[1 - turn].dataVersion()
      const before = model.entries
      if (refusedByModel(model, op)) expect(() => apply(programs[turn], op, recordings)).toThrow()
      else apply(programs[turn], op, recordings)
      if (model.entries > before) expect(programs[1 - turn].dataVersion()).toBeGreaterThan(version)
      expectEqual(programs[1 - turn], model)
    })
    const report = programs[0].check()
    expect(report).toMatchObject({ ok: true, findings: [], journalEntries: model.entries })
    for (const program of programs) program.close()
  }
  fc.assert(fc.property(fc.array(operation, { minLength: 1, maxLength: 10 }), work), {
    numRuns: 12,
    endOnFailure: true,
  })
})
