import { afterAll, beforeAll, expect, test } from 'vitest'
import { textOf, violations } from '../desk-stage.ts'
import { equaliserOffLine } from './equaliser-off-line.ts'
import { type MeasureStage, setUpMeasuring } from './measure-stage.ts'
import { equalisers } from './sound-server.mjs'

// The built desk in a real browser measures a filter that is not ours through a real sound server.
let stage: MeasureStage

beforeAll(async () => {
  stage = await setUpMeasuring()
}, 180_000)
afterAll(() => stage?.close())

test('a board is played, recorded, checked and judged, and its curves are those of the filter', async () => {
  const { page, complaints } = await stage.openMeasure('WRN-0001')
  await page.getByRole('heading', { name: 'Turn the knobs to max' }).waitFor()
  await stage.recordAt(page, 'max')
  await page.getByRole('heading', { name: 'Turn the knobs to min' }).waitFor()
  await page.getByText('Recorded. Now turn the knobs to min.').waitFor()
  await stage.recordAt(page, 'min')
  const verdict = page.getByRole('region', { name: 'Verdict on WRN-0001' })
  await verdict.waitFor({ timeout: 30_000 })
  expect(await textOf(verdict)).toContain('This board passes.')
  expect(await violations(page)).toEqual([])

  const [{ id, station, rig }] = stage.workshop.unit('WRN-0001').runs
  expect({ station, rig }).toEqual({ station: 'desk', rig: 'sound-interface' })
  const { run } = stage.workshop.testRun(id)
  for (const { setting, curve, findings } of run.measurements) {
    expect(findings).toEqual([])
    const gainDbAt = equaliserOffLine(equalisers[`board_${setting}` as keyof typeof equalisers])
    const errors = curve!.frequencyHz.map((f, i) => Math.abs(curve!.gainDb[i] - gainDbAt(f)))
    // The issue asks for 0.05 dB.
    expect(Math.max(...errors)).toBeLessThan(0.05)
  }
  await verdict.getByRole('link', { name: 'WRN-0001' }).click()
  await page.getByRole('heading', { level: 1, name: 'WRN-0001' }).waitFor()
  expect(complaints).toEqual([])
})
