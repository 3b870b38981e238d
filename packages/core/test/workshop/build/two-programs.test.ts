import { expect, test } from 'vitest'
import { openStore } from '../../../src/store/open-store.ts'
import { makeWorkshop } from '../../../src/workshop/make-workshop.ts'
import { bundledChild, startChild } from '../../store/built-child.ts'
import { stockedWorkshop } from './stocked-workshop.ts'

const starter = bundledChild('start-builds.ts')

test('three programs start builds at once until the parts run out: no piece and no serial number is given twice', async () => {
  const stocked = stockedWorkshop()
  // The scarcest part decides: twelve units of two potentiometers each.
  expect(stocked.stock.part('PT9-100KB').part.stock).toBe(24)
  stocked.stock.countLot({ lot: 'L-0023', counted: 50, reason: 'more boards' })
  stocked.stock.countLot({ lot: 'L-0016', counted: 100, reason: 'more capacitors' })
  const { file } = stocked
  stocked.close()
  const programs = ['BENCH', 'DESK', 'HOOK'].map((station) => startChild(starter.path, [file, station]))
  const ends = await Promise.all(programs.map((program) => program.ended))
  for (const end of ends) expect(end, end.stderr).toMatchObject({ code: 0, stderr: '' })
  const given = ends.flatMap(({ stdout }) => stdout.split('\n').filter(Boolean))
  expect(given.sort()).toEqual(Array.from({ length: 12 }, (_, i) => `PLV-${String(i + 1).padStart(4, '0')}`))

  const workshop = makeWorkshop({ store: openStore(file), station: 'check' })
  expect(workshop.stock.part('PT9-100KB').part.stock).toBe(0)
  for (const { id, stock, received } of workshop.stock.lots()) {
    const { movements } = workshop.stock.lot(id)
    expect(movements.reduce((sum, { pieces }) => sum + pieces, 0)).toBe(stock)
    const issued = movements.filter(({ kind }) => kind === 'issued').reduce((sum, { pieces }) => sum - pieces, 0)
    const fitted = workshop.stock
      .traceLot(id)
      .units.flatMap(({ inside }) => inside)
      .reduce((sum, { pieces }) => sum + pieces, 0)
    expect(fitted, id).toBe(issued)
    expect(received).toBeGreaterThan(0)
  }
  expect(workshop.builds.list().map(({ build, units }) => [build.serials.length, units[0]?.done])).toEqual(
    Array.from({ length: 12 }, () => [1, ['trim']]),
  )
  expect(workshop.check()).toMatchObject({ ok: true, findings: [] })
  workshop.close()
}, 120_000)

test('a program killed in the middle leaves whole builds and whole steps only', async () => {
  const { file, close } = stockedWorkshop()
  close()
  const confirmed: string[] = []
  for (let round = 0; round < 5; round++) {
    const program = startChild(starter.path, [file, `K${round}`])
    await new Promise<void>((resolve) => {
      program.child.stdout?.once('data', () => setTimeout(resolve, round * 2))
      void program.ended.then(() => resolve())
    })
    program.child.kill('SIGKILL')
    confirmed.push(...(await program.ended).stdout.split('\n').filter((line) => /^PLV-\d{4}$/.test(line)))
    const workshop = makeWorkshop({ store: openStore(file), station: 'check' })
    expect(workshop.check()).toMatchObject({ ok: true, findings: [] })
    const serials = workshop.units().map(({ serial }) => serial)
    expect(serials).toEqual(expect.arrayContaining(confirmed))
    for (const serial of serials) {
      expect(workshop.builds.traceUnit(serial).places.length).toBe(workshop.product().partsList?.length)
      const { build, units } = workshop.builds.list().find((row) => row.build.serials.includes(serial))!
      expect(build.serials).toEqual([serial])
      // What a program said was done is done, also after the power went.
      if (confirmed.includes(serial)) expect(units[0]?.done).toEqual(['trim'])
    }
    workshop.close()
  }
  expect(confirmed.length).toBeGreaterThanOrEqual(1)
}, 120_000)
