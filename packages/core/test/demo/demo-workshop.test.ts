import { join } from 'node:path'
import { expect, test } from 'vitest'
import { makeSimulatedRig } from '../../src/audio/simulated-rig.ts'
import { demoFaultsOf, demoSeed } from '../../src/demo/demo-boards.ts'
import { makeDemoWorkshop } from '../../src/demo/demo-workshop.ts'
import { offerDemoUnit } from '../../src/demo/offer-demo-unit.ts'
import { makeSweep } from '../../src/response/sweep/sweep.ts'
import { openStore } from '../../src/store/open-store.ts'
import { makeWorkshop } from '../../src/workshop/make-workshop.ts'
import { temporaryFolder } from '../store/temporary-folder.ts'

test('the demo has a history, a unit to test, and a check finds nothing in it', { timeout: 300_000 }, async () => {
  const file = join(temporaryFolder(), 'demo.boardwright')
  const fractions: number[] = []
  const now = new Date('2026-03-20T16:00:00.000Z')
  const demo = await makeDemoWorkshop({ file, now, onProgress: (progress) => fractions.push(progress.fraction) })
  expect(fractions.at(-1)).toBe(1)
  expect(fractions).toEqual([...fractions].sort((a, b) => a - b))

  const workshop = makeWorkshop({ store: openStore(file), station: 'desk' })
  expect(workshop.check()).toMatchObject({ ok: true, findings: [], unitsChecked: 10, runsChecked: 8 })
  expect(workshop.nextToTest()).toMatchObject({ serial: demo.serialToTest, state: 'untested' })
  expect(workshop.summary().unitsByState).toMatchObject({ building: 2, ready: 6, failed: 1, untested: 1 })
  expect(workshop.unit('PLV-0003').runs.map((run) => run.verdict)).toEqual(['pass', 'repeat'])
  const [failed] = workshop.unit('PLV-0005').runs
  expect(failed.verdict).toBe('fail')
  expect(demoFaultsOf('PLV-0005').length).toBe(1)
  expect(workshop.currentReference()?.settings.map((s) => [s.setting, s.runs])).toEqual([
    ['max', 4],
    ['min', 4],
    ['centre', 4],
  ])
  // Two builds are done and one is in work; every unit can be traced to its lots, every lot to its units.
  expect(workshop.builds.list().map(({ build, state, units }) => [build.id, state, units.length])).toEqual([
    [3, 'working', 2],
    [2, 'done', 4],
    [1, 'done', 4],
  ])
  expect(workshop.stock.lots().length).toBeGreaterThanOrEqual(10)
  for (const { serial } of workshop.units())
    expect(workshop.builds.traceUnit(serial).places.filter(({ lotId }) => lotId !== null).length).toBe(
      workshop.product().partsList?.length,
    )
  expect(workshop.stock.traceLot('L-0016').toKeep).toContain('PLV-0005')
  expect(workshop.builds.show(3).work.at(-1)).toMatchObject({ mark: 'wrong', serial: 'PLV-0021' })
  // The history lies before the demo was made, in order.
  const times = workshop.journalSince(0).map((entry) => entry.at)
  expect(times).toEqual([...times].sort())
  expect(times.at(-1)! < now.toISOString()).toBe(true)
  expect(demoSeed).toBeGreaterThan(0)

  // While one waits it is offered; when it does not, the next number is.
  expect(offerDemoUnit({ file })).toBe('PLV-0008')
  const product = workshop.product()
  const rig = makeSimulatedRig({ product, speed: Number.POSITIVE_INFINITY, clip: false })
  const sweep = makeSweep(product.testPlan.stimulus)
  const recordings = []
  for (const setting of product.testPlan.settings)
    recordings.push({ setting, ...(await rig.run({ serial: 'PLV-0008', setting, sweep })) })
  expect(workshop.recordTestRun({ serial: 'PLV-0008', rig: 'simulated', recordings }).run.verdict).not.toBe('repeat')
  expect([offerDemoUnit({ file }), offerDemoUnit({ file })]).toEqual(['PLV-0009', 'PLV-0009'])
  expect(workshop.nextToTest()?.serial).toBe('PLV-0009')
  workshop.close()

  await expect(makeDemoWorkshop({ file })).rejects.toMatchObject({ code: 'file-not-writable' })
})
