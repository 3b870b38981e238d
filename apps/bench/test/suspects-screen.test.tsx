import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { makeSweep, type Product } from '@boardwright/core'
import { makeSimulatedRig } from '@boardwright/core/audio'
import type { Fault } from '@boardwright/core/circuit'
import { openStore } from '@boardwright/core/store'
import { makeWorkshop, type Workshop } from '@boardwright/core/workshop'
import { afterEach, describe, expect, it } from 'vitest'
import { loadPlover } from '../src/plover.ts'
import { BenchApp } from '../src/screens/bench-app.tsx'
import { showInTerminal, type TestTerminal } from './terminal.ts'

// A real workshop file, boards from the simulated rig, the real diagnosis; Ink writes to a terminal emulator.
let folder: string
let workshop: Workshop
let terminal: TestTerminal
let faults: Fault[] = []

async function open(options: { product?: Product; size?: { columns: number; rows: number } } = {}) {
  const { size = { columns: 80, rows: 24 } } = options
  folder = mkdtempSync(join(tmpdir(), 'boardwright-suspects-'))
  workshop = makeWorkshop({ store: openStore(join(folder, 'shop.boardwright'), { create: true }), station: 'bench-1' })
  const product = workshop.addProduct(options.product ?? loadPlover())
  const quick = { product, seed: 7, speed: Number.POSITIVE_INFINITY, clip: false, boardNoise: false }
  const sweep = makeSweep(product.testPlan.stimulus)
  const reference = makeSimulatedRig({ ...quick, spread: 'none' })
  const recordings = []
  for (const setting of ['max', 'min', 'centre', 'max', 'min', 'centre'])
    recordings.push({ setting, ...(await reference.run({ serial: 'REF', setting, sweep })) })
  workshop.addReference({ recordings })
  workshop.registerUnit({ serial: 'PLV-0001' })
  const rig = makeSimulatedRig({ ...quick, faultsOf: () => faults })
  const diagnosing = { show: workshop.diagnosis, ask: workshop.diagnoseRun }
  terminal = showInTerminal(<BenchApp bench={{ workshop, product, rig, rigLabel: 'simulated', diagnosing }} />, size)
}

afterEach(() => {
  terminal?.close()
  workshop?.close()
  rmSync(folder, { recursive: true, force: true })
})

const failOne = async () => {
  await terminal.until(/PLV-0001.*next to test/)
  terminal.type('\r')
  await terminal.until(/✗ PLV-0001: failed/)
  terminal.type('s')
  return terminal.until(/Next check/)
}

describe('after a fail', () => {
  it.each([
    { columns: 80, rows: 24 },
    { columns: 120, rows: 40 },
  ])('one key shows suspects, value and place at $columns x $rows', async (size) => {
    faults = [{ kind: 'value', designator: 'C7', value: '3.3 nF' }]
    await open({ size })
    const seen = await failOne()
    expect(seen).toMatch(/› C7 3\.3 nF +█+.* \d\d %/)
    expect(seen).toMatch(/expected 33 nF/)
    expect(seen).toMatch(/found +3\.3 nF/)
    expect(seen).toMatch(/█+•?C7•?█/)
    expect(seen).toMatch(/▼/)
    const lines = await terminal.lines()
    expect(lines.at(-1)).toBe('')
    expect(Math.max(...lines.map((line) => [...line].length))).toBeLessThanOrEqual(size.columns)
    // To look changes nothing: no diagnosis is kept.
    expect(workshop.journalSince(0).some(({ verb }) => verb === 'diagnose-run')).toBe(false)
    terminal.type('t')
    await terminal.until(/seen from below/)
    terminal.type('\x1b')
    await terminal.until(/✗ PLV-0001: failed/)
  })

  it('rework goes on record, the unit is untested, and the next run tells that this was it', async () => {
    faults = [{ kind: 'value', designator: 'C7', value: '3.3 nF' }]
    await open()
    await failOne()
    terminal.type('r')
    await terminal.until(/‹ C7 ›/)
    terminal.type('\x1b[B\x1b[B')
    await terminal.until(/› Put in/)
    // A scanner ends a lot number with Enter: that goes to the next line and sends nothing.
    terminal.type('33 nF film\r')
    terminal.type('LOT-7\r')
    await terminal.until(/› Note/)
    expect(workshop.unit('PLV-0001').unit.state).toBe('failed')
    terminal.type('\r\r')
    await terminal.until(/› Record it/)
    terminal.type('\r')
    await terminal.until(/C7 is on record; PLV-0001 is untested/)
    const { unit, reworks } = workshop.unit('PLV-0001')
    expect(unit.state).toBe('untested')
    expect(reworks[0]).toMatchObject({ designator: 'C7', action: 'replaced', part: '33 nF film', lot: 'LOT-7' })
    expect(reworks[0].diagnosisId).not.toBeNull()
  })

  it('a unit that passes after the rework says so, and the hit is counted', async () => {
    faults = [{ kind: 'value', designator: 'C7', value: '3.3 nF' }]
    await open()
    const seen = await failOne()
    expect(seen).toMatch(/C7/)
    const [{ id }] = workshop.unit('PLV-0001').runs
    await workshop.diagnoseRun({ runId: id })
    workshop.recordRework({ serial: 'PLV-0001', designator: 'C7', action: 'replaced' })
    terminal.close()
    // The mended board: the rig draws it anew, without the fault.
    faults = []
    const product = workshop.product()
    const rig = makeSimulatedRig({
      product,
      seed: 7,
      speed: Number.POSITIVE_INFINITY,
      clip: false,
      boardNoise: false,
      faultsOf: () => faults,
    })
    const diagnosing = { show: workshop.diagnosis, ask: workshop.diagnoseRun }
    const bench = { workshop, product, rig, rigLabel: 'simulated', diagnosing }
    terminal = showInTerminal(<BenchApp bench={bench} />, { columns: 80, rows: 24 })
    await terminal.until(/PLV-0001.*next to test/)
    terminal.type('\r')
    await terminal.until(/C7 was it: the board passes since, and the first[\s\S]*suspect was right/)
    expect(workshop.diagnosisFigures().first).toMatchObject({ hits: 1, cases: 1 })
  })

  it('takes a supply current and lists what was told; nonsense is refused in a sentence', async () => {
    faults = [{ kind: 'value', designator: 'C7', value: '3.3 nF' }]
    await open()
    await failOne()
    terminal.type('c')
    await terminal.until(/Supply current/)
    terminal.type('much\r')
    await terminal.until(/"much" is no reading of a meter/)
    terminal.type('\x7f\x7f\x7f\x7f')
    terminal.type('0.55\r')
    await terminal.until(/Told so far: supply 550 µA/)
    const [{ id }] = workshop.unit('PLV-0001').runs
    expect((await workshop.diagnosis(id)).evidence.supplyCurrentA).toBeCloseTo(0.00055, 9)
  })

  it('works without placements: the list takes the whole width', async () => {
    faults = [{ kind: 'value', designator: 'C7', value: '3.3 nF' }]
    const { board: _, ...product } = loadPlover()
    await open({ product })
    const seen = await failOne()
    expect(seen).toMatch(/› C7 3\.3 nF/)
    expect(seen).not.toMatch(/seen from|turn board/)
  })
})
