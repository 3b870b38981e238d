import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { type DeskStage, inspectChart, openDesk, setUpDesk, textOf } from './desk-stage.ts'

// The built desk, served by the real API over a real socket on the demo workshop, in a real browser.
let stage: DeskStage

beforeAll(async () => {
  stage = await setUpDesk()
}, 180_000)
afterAll(() => stage?.close())

const failedSerial = 'PLV-0005'
const passedSerial = 'PLV-0001'
/** Written as on the screen: the minus sign, not the hyphen. */
const numbersIn = (text: string) => [...text.replaceAll('\u2212', '-').matchAll(/-?\d+(?:\.\d+)?/g)].map(Number)

describe('the list of units', () => {
  test('shows each unit with state, last verdict and first reason, and what to do next', async () => {
    const { page, complaints } = await openDesk(stage, '/')
    const summary = stage.workshop.summary()
    await page.getByText(`${summary.units} units`).waitFor()
    for (const unit of stage.workshop.units()) {
      const row = page.locator(`tr[data-serial="${unit.serial}"]`)
      const [run] = stage.workshop.unit(unit.serial).runs
      expect(await textOf(row)).toContain(unit.state)
      if (run) expect(await textOf(row)).toContain(run.reason)
      if (run) expect(await textOf(row)).toContain(run.verdict)
    }
    for (const [title, count] of [
      ['to test', summary.unitsByState.untested],
      ['failed', summary.unitsByState.failed],
      ['ready', summary.unitsByState.ready],
    ] as const)
      await page.getByRole('button', { name: new RegExp(`^${count} ${title}`) }).waitFor()
    expect(complaints).toEqual([])
  })

  test('filters by state and by part of a serial number, and the address keeps both', async () => {
    const { page } = await openDesk(stage, '/')
    await page.getByRole('button', { name: /failed/ }).click()
    await page.locator(`tr[data-serial="${passedSerial}"]`).waitFor({ state: 'detached' })
    expect(await page.locator('tbody tr').count()).toBe(stage.workshop.units({ state: 'failed' }).length)
    await page.reload()
    await page.locator(`tr[data-serial="${failedSerial}"]`).waitFor()
    expect(await page.locator(`tr[data-serial="${passedSerial}"]`).count()).toBe(0)
    await page.getByLabel('State').selectOption('')
    await page.getByLabel('Scan or type a serial number').fill('0003')
    await page.getByText('1 unit', { exact: true }).waitFor()
    expect(await page.locator('tbody tr').getAttribute('data-serial')).toBe('PLV-0003')
    await page.getByLabel('Scan or type a serial number').fill('nothing like it')
    await page.getByText('No unit fits').waitFor()
  })

  test('works by keyboard: a scan opens the unit, arrow keys go from unit to unit', async () => {
    const { page } = await openDesk(stage, '/')
    await page.locator('tbody tr').nth(1).waitFor()
    await page.getByLabel('Scan or type a serial number').focus()
    await page.keyboard.press('ArrowDown')
    const focused = () => page.evaluate(() => document.activeElement?.textContent)
    const serials = await page
      .locator('tbody tr')
      .evaluateAll((rows) => rows.map((row) => row.getAttribute('data-serial')))
    expect(await focused()).toBe(serials[0])
    await page.keyboard.press('ArrowDown')
    expect(await focused()).toBe(serials[1])
    await page.keyboard.press('End')
    expect(await focused()).toBe(serials[serials.length - 1])
    const outline = await page.evaluate(() => getComputedStyle(document.activeElement!).outlineStyle)
    expect(outline).toBe('solid')
    await page.getByLabel('Scan or type a serial number').focus()
    await page.keyboard.type(`${failedSerial.toLowerCase()}\n`)
    await page.getByRole('heading', { level: 1, name: failedSerial }).waitFor()
    expect(await page.evaluate(() => document.activeElement?.tagName)).toBe('H1')
    expect(await page.title()).toContain(failedSerial)
  })
})

describe('the page of a unit', () => {
  test('says the verdict in plain words, with every reason of the judge', async () => {
    const { page, complaints } = await openDesk(stage, `/units/${failedSerial}`)
    await page.getByText('This board fails.').waitFor()
    const [{ id }] = stage.workshop.unit(failedSerial).runs
    const { run } = stage.workshop.testRun(id)
    const shown = await page.getByRole('list', { name: 'Reasons' }).getByRole('listitem').allInnerTexts()
    expect(shown).toEqual(run.judgement.reasons.map((reason) => reason.message))
    expect(await page.getByRole('heading', { level: 2 }).allInnerTexts()).toEqual(
      expect.arrayContaining([expect.stringMatching(/^max: /), expect.stringMatching(/^min: /)]),
    )
    expect(complaints).toEqual([])
  })

  test('draws the unit in ink and what fails in orange; a unit that passes has no orange', async () => {
    const [{ id }] = stage.workshop.unit(failedSerial).runs
    const broken = stage.workshop.testRun(id).run.judgement.settings.find(({ verdict }) => verdict === 'fail')!
    const curve = new RegExp(`^Response curve of .* at ${broken.setting}`)
    const { page } = await openDesk(stage, `/units/${failedSerial}`)
    await page.getByRole('img', { name: curve }).waitFor()
    await expect.poll(async () => (await inspectChart(page, curve, '--blue')).inked).toBeGreaterThan(200)
    expect((await inspectChart(page, curve, '--orange')).inked).toBeGreaterThan(200)
    const { page: passing } = await openDesk(stage, `/units/${passedSerial}`)
    await passing.getByRole('img', { name: curve }).waitFor()
    await expect.poll(async () => (await inspectChart(passing, curve, '--blue')).inked).toBeGreaterThan(200)
    expect((await inspectChart(passing, curve, '--orange')).inked).toBe(0)
  })

  test('zooms and pans by buttons and by drawing a range, in both charts of a setting', async () => {
    const { page } = await openDesk(stage, `/units/${failedSerial}`)
    // They come a moment later and stand above the charts: nothing shall move under the mouse.
    await page.getByRole('group', { name: /^Suspects/ }).waitFor()
    const section = page.locator('section[data-setting="max"]')
    const tools = section.getByRole('group', { name: /Frequencies shown/ })
    const range = tools.getByRole('status')
    const deviation = /^Deviation from the reference of .* at max/
    await section.getByRole('img', { name: deviation }).waitFor()
    const before = await inspectChart(page, deviation, '--blue')
    expect(await textOf(range)).toBe('20 Hz to 20 kHz')
    expect(await tools.getByRole('button', { name: 'Zoom out' }).isDisabled()).toBe(true)
    await tools.getByRole('button', { name: 'Zoom in' }).press('Enter')
    // Half of ten octaves around 1 kHz, where the read-out stands: 1 kHz / 2^2.5 = 177 Hz and 1 kHz x 2^2.5 = 5.66 kHz.
    expect(await textOf(range)).toMatch(/^17\d Hz to 5\.6\d kHz$/)
    await expect.poll(async () => (await inspectChart(page, deviation, '--blue')).drawing).not.toBe(before.drawing)
    await tools.getByRole('button', { name: 'To higher frequencies' }).press(' ')
    expect(await textOf(range)).toMatch(/^63\d Hz to 20 kHz$/)
    await tools.getByRole('button', { name: 'Whole range' }).press('Enter')
    expect(await textOf(range)).toBe('20 Hz to 20 kHz')
    const plot = section.getByRole('img').first().locator('.u-over')
    await plot.scrollIntoViewIfNeeded()
    const box = (await plot.boundingBox())!
    await page.mouse.move(box.x + box.width / 3, box.y + 50)
    await page.mouse.down()
    await page.mouse.move(box.x + (box.width * 2) / 3, box.y + 60, { steps: 5 })
    await page.mouse.up()
    // A third of three decades: 200 Hz to 2 kHz, give or take a pixel.
    expect(await textOf(range)).toMatch(/^(19\d|20\d|200) Hz to (1\.9\d|2|2\.0\d) kHz$/)
  })

  test('reads off in words what the judge found, absolute and level-aligned', async () => {
    const { page } = await openDesk(stage, `/units/${failedSerial}`)
    const section = page.locator('section[data-setting="max"]')
    const slider = section.getByRole('slider')
    await slider.focus()
    await slider.press('Home')
    for (let step = 0; step < 40; step++) await slider.press('ArrowRight')
    const [{ id }] = stage.workshop.unit(failedSerial).runs
    const { run, reference } = stage.workshop.testRun(id)
    const curve = run.measurements.find(({ setting }) => setting === 'max')!.curve!
    const judged = run.judgement.settings.find(({ setting }) => setting === 'max')!
    const at = judged.frequencyHz.indexOf(curve.frequencyHz[40])
    const referenceDb = reference.settings.find(({ setting }) => setting === 'max')!.curve.gainDb[40]
    const output = section.locator('output')
    const [, unitDb, shownReferenceDb, deviationDb] = numbersIn(await textOf(output))
    expect(unitDb).toBeCloseTo(curve.gainDb[40], 1)
    expect(shownReferenceDb).toBeCloseTo(referenceDb, 1)
    expect(deviationDb).toBeCloseTo(judged.deviationDb[at], 1)
    expect(await slider.getAttribute('aria-valuetext')).toContain('deviation')
    await section.getByLabel('level-aligned').check()
    const [, alignedUnitDb, , alignedDb] = numbersIn(await textOf(output))
    expect(alignedDb).toBeCloseTo(judged.alignedDeviationDb[at], 1)
    expect(alignedUnitDb).toBeCloseTo(curve.gainDb[40] - judged.levelDifferenceDb, 1)
    await slider.press('+')
    expect(await textOf(section.getByRole('status').first())).not.toBe('20 Hz to 20 kHz')
  })

  test('gives every chart as a table with the same numbers', async () => {
    const { page } = await openDesk(stage, `/units/${failedSerial}`)
    const [{ id }] = stage.workshop.unit(failedSerial).runs
    const { run } = stage.workshop.testRun(id)
    const { curve, distortion } = run.measurements.find(({ setting }) => setting === 'max')!
    const section = page.locator('section[data-setting="max"]')
    await section.getByRole('figure').nth(3).waitFor()
    expect(await section.getByRole('figure').count()).toBe(4)
    for (const [figure, rows] of [
      [0, curve!.frequencyHz.length],
      [2, distortion!.frequencyHz.length],
    ]) {
      const chart = section.getByRole('figure').nth(figure)
      await chart.getByText('Show as table').press('Enter')
      await expect.poll(() => chart.locator('tbody tr').count()).toBe(rows)
    }
    const column = await section.getByRole('figure').first().locator('tbody tr td:nth-child(5)').allInnerTexts()
    for (const i of [0, 100, 200]) expect(numbersIn(column[i])[0]).toBeCloseTo(curve!.gainDb[i], 1)
    expect(await textOf(section.getByRole('figure').nth(2).locator('thead'))).toMatch(/2nd.*3rd.*4th.*5th/s)
  })

  test('goes back to an earlier run and to the newest again', async () => {
    const [newest, oldest] = stage.workshop.unit('PLV-0003').runs
    const { page } = await openDesk(stage, '/units/PLV-0003')
    await page.locator(`[data-run="${oldest.id}"]`).getByRole('link').click()
    await page.getByText('No verdict yet').waitFor()
    await page.getByText('This is an earlier test run.').waitFor()
    // The disturbed recordings of the demo: refused or noted, with what to do.
    expect(await page.getByRole('list', { name: 'Findings about the recording' }).count()).toBeGreaterThan(0)
    await page.getByRole('link', { name: 'Show the newest' }).click()
    await page.getByText(newest.verdict === 'pass' ? 'This board passes.' : 'This board fails.').waitFor()
  })

  test('says in a sentence that there is no such unit', async () => {
    const { page } = await openDesk(stage, '/units/XYZ-9')
    const alert = page.getByRole('alert')
    await alert.waitFor()
    expect(await alert.getAttribute('data-code')).toBe('not-found')
    expect(await textOf(alert)).toContain('XYZ-9')
  })
})
