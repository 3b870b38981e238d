import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { overflowPx, textOf, violations } from '../desk-stage.ts'
import { equaliserOffLine } from './equaliser-off-line.ts'
import { type MeasureStage, setUpMeasuring } from './measure-stage.ts'
import { equalisers } from './sound-server.mjs'

// The built desk in a real browser measures a filter that is not ours through a real sound server.
let stage: MeasureStage
/** Enough for a sweep that is played three times over, several times, on a busy computer. */
const longMs = 240_000

beforeAll(async () => {
  stage = await setUpMeasuring()
}, 180_000)
afterAll(() => stage?.close())

test(
  'a board is played, recorded, checked and judged, and its curves are those of the filter',
  async () => {
    const { page, complaints } = await stage.openMeasure('WRN-0001')
    await page.getByRole('heading', { name: 'Turn the knobs to max' }).waitFor()
    await stage.recordAt(page, 'max')
    await page.getByRole('heading', { name: 'Turn the knobs to min' }).waitFor()
    await page.getByText('Recorded. Now turn the knobs to min.').waitFor()
    // By keyboard alone: the focus is on the button for the next step.
    const focused = () => page.evaluate(() => document.activeElement?.textContent)
    await expect.poll(focused).toBe('Play and record at min')
    await stage.recordAt(page, 'min', { by: () => page.keyboard.press('Enter') })
    const verdict = page.getByRole('region', { name: 'Verdict on WRN-0001' })
    await verdict.waitFor({ timeout: 60_000 })
    expect(await textOf(verdict)).toContain('This board passes.')
    expect(await violations(page)).toEqual([])
    expect(await verdict.getByRole('link', { name: 'WRN-0001' }).getAttribute('href')).toBe('/units/WRN-0001')

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
    await verdict.getByRole('button', { name: 'Next board' }).click()
    const next = page.getByLabel('Serial number')
    expect([await next.inputValue(), await next.isEnabled()]).toEqual(['', true])
    expect(await page.evaluate(() => document.activeElement?.tagName)).toBe('INPUT')
    await page.goto(`${stage.server.url}/units/WRN-0001`)
    await page.getByText('This board passes.').waitFor()
    await page.getByText('at desk, on the rig').waitFor()
    expect(complaints).toEqual([])
  },
  longMs,
)

test(
  'a channel plays and records alone; a silent board can be judged all the same',
  async () => {
    const { page } = await stage.openMeasure('WRN-0002')
    await page.getByLabel('Output channel').selectOption('2 (right)')
    const refused = page.getByRole('region', { name: 'Recording refused' })
    for (const setting of ['max', 'min']) {
      await page.getByRole('button', { name: `Play and record at ${setting}` }).click()
      await refused.waitFor({ timeout: 60_000 })
      expect(await textOf(refused)).toMatch(/silen/)
      await refused.getByRole('button', { name: 'go on with this recording' }).click()
    }
    const verdict = page.getByRole('region', { name: 'Verdict on WRN-0002' })
    await verdict.waitFor({ timeout: 60_000 })
    expect(await textOf(verdict)).toContain('No verdict yet')
    await verdict.getByRole('button', { name: 'Next board' }).click()
    await page.getByLabel('Serial number').fill('WRN-0003')
    await page.getByLabel('Input channel').selectOption('2 (right)')
    await stage.recordAt(page, 'max')
    await page.getByRole('heading', { name: 'Turn the knobs to min' }).waitFor()
    // The choice is kept for the next visit.
    page.on('dialog', (dialog) => void dialog.accept())
    await page.reload()
    await page.getByText('out board, in rig_in').waitFor()
    expect(await page.getByLabel('Input channel').inputValue()).toBe('1')
  },
  longMs,
)

test(
  'with a loop-back the way of the sound is taken out: only the board is left',
  async () => {
    // What the browser plays goes through the board to the left input, and past it, 6 dB down, to the right one.
    const { sound } = stage
    sound.load(sound.nullSink('desk_out', 48_000))
    sound.load(
      'module-remap-sink sink_name=past master=rig remix=no master_channel_map=front-right,front-left channel_map=front-left,front-right',
    )
    for (const sink of ['board_max', 'past'])
      sound.load(`module-loopback source=desk_out.monitor sink=${sink} remix=no adjust_time=0 latency_msec=100`)
    sound.control('set-sink-volume', 'past', '-6.0206dB')
    const { page } = await stage.openMeasure('WRN-0005', { output: 'desk_out' })
    await page.getByLabel('Loop-back channel').selectOption('2 (right)')
    await stage.recordAt(page, 'max')
    await stage.recordAt(page, 'min')
    await page.getByRole('region', { name: 'Verdict on WRN-0005' }).waitFor({ timeout: 60_000 })
    const [{ id }] = stage.workshop.unit('WRN-0005').runs
    const { curve } = stage.workshop.testRun(id).run.measurements.find(({ setting }) => setting === 'max')!
    const gainDbAt = equaliserOffLine(equalisers.board_max)
    const errors = curve!.frequencyHz.map((f, i) => curve!.gainDb[i] - 6.0206 - gainDbAt(f))
    expect(Math.max(...errors.map(Math.abs))).toBeLessThan(0.05)
  },
  longMs,
)

describe.each([
  { theme: 'light', width: 1280 },
  { theme: 'dark', width: 1280 },
  { theme: 'light', width: 390 },
  { theme: 'dark', width: 390 },
] as const)('in the $theme theme at $width pixels', ({ theme, width }) => {
  test('the page breaks no accessibility rule and needs no scrolling sideways, also while it plays', async () => {
    const { page, complaints } = await stage.openMeasure('WRN-0004', {
      viewport: { width, height: 844 },
      colorScheme: theme,
    })
    expect(await violations(page)).toEqual([])
    await page.getByRole('button', { name: 'Play and record at max' }).click()
    await page.getByText('Playing the sweep at max.').waitFor()
    expect(await violations(page)).toEqual([])
    expect(await overflowPx(page)).toBe(0)
    expect(complaints).toEqual([])
    await page.context().close()
  })
})
