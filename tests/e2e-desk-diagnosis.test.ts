import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { type DeskStage, inspectChart, openDesk, overflowPx, setUpDesk, textOf, violations } from './desk-stage.ts'

// The built desk, served by the real API on the demo workshop, in a real browser; PLV-0005 has 3.3 nF in place of C7's 33 nF.
let stage: DeskStage

beforeAll(async () => {
  stage = await setUpDesk()
}, 240_000)
afterAll(() => stage?.close())

const serial = 'PLV-0005'
const path = `/units/${serial}`
const lastRun = () => stage.workshop.unit(serial).unit.lastRunId!

/** Pictures to look at, where a folder for them is named. */
const pictures = process.env.BOARDWRIGHT_PICTURES
const picture = async (page: Awaited<ReturnType<typeof openDesk>>['page'], name: string) => {
  if (!pictures) return
  await page.locator('section[aria-labelledby="suspects"]').screenshot({ path: `${pictures}/${name}.png` })
  await page.locator('section[data-setting="min"]').screenshot({ path: `${pictures}/${name}-min.png` })
}

describe('suspects of a failed board', () => {
  test('stand with probability, expected and found value, as the workshop works them out; looking keeps nothing', async () => {
    const { page, complaints } = await openDesk(stage, path)
    const list = page.getByRole('group', { name: 'Suspects, most probable first' })
    await list.waitFor()
    const { diagnosis } = await stage.workshop.diagnosis(lastRun())
    const shown = await list.locator('label').allInnerTexts()
    expect(shown).toHaveLength(diagnosis.suspects.length)
    expect(shown[0]).toContain(diagnosis.suspects[0].words)
    expect(shown[0]).toMatch(/\d\d %/)
    expect(shown[0]).toMatch(/expected 33 nF, found 3\.3 nF/)
    expect(await list.getByRole('radio').first().isChecked()).toBe(true)
    await list.getByText('None of these').waitFor()
    expect(stage.workshop.journalSince(0).some(({ verb }) => verb === 'diagnose-run')).toBe(false)
    await picture(page, 'suspects')
    expect(complaints).toEqual([])
  })

  test('the suspect is marked on the board from both sides, by hatching, outline and name', async () => {
    const { page } = await openDesk(stage, path)
    const above = page.getByRole('img', { name: /^The board, from above; C7 is marked/ })
    await above.waitFor()
    const below = page.getByRole('img', { name: /^The board, solder side; C7 is marked/ })
    const lit = above.locator('[data-designator="C7"][data-role="lit"]')
    expect(await lit.count()).toBe(1)
    const look = await lit
      .locator('rect')
      .last()
      .evaluate((rect) => {
        const { fill, strokeWidth } = getComputedStyle(rect)
        return { fill, strokeWidth }
      })
    expect(look.fill).toMatch(/^url\(/)
    expect(Number.parseFloat(look.strokeWidth)).toBeGreaterThan(0.5)
    expect(await above.locator('[data-role="lit"]').count()).toBe(2)
    // It sits on the other side there: seen as if through glass, with a broken outline.
    expect(await below.locator('[data-designator="C7"][data-role="lit"][data-hidden="true"]').count()).toBe(1)
    // C7 sits at 16.5 mm of 64: left from above, right on the solder side.
    const share = async (name: string, drawing: typeof above) => {
      const [part, whole] = [await drawing.getByText(name, { exact: true }).boundingBox(), await drawing.boundingBox()]
      return (part!.x + part!.width / 2 - whole!.x) / whole!.width
    }
    expect(await share('C7', above)).toBeCloseTo((16.5 + 1) / 66, 1)
    expect(await share('C7', below)).toBeCloseTo((64 - 16.5 + 1) / 66, 1)
  })

  test('the chosen suspect is drawn in the chart of each setting', async () => {
    const { page } = await openDesk(stage, path)
    const list = page.getByRole('group', { name: 'Suspects, most probable first' })
    await list.waitFor()
    const { diagnosis } = await stage.workshop.diagnosis(lastRun())
    for (const curve of diagnosis.suspects[0].curves) {
      const figure = page.locator(`section[data-setting="${curve.setting}"]`).getByRole('figure').first()
      await figure.getByText('Show as table').press('Enter')
      await figure.locator('tbody tr').first().waitFor()
      const heads = await figure.locator('thead th').allInnerTexts()
      const column = heads.indexOf('suspect')
      expect(column).toBeGreaterThan(0)
      const cells = await figure.locator(`tbody tr td:nth-child(${column + 1})`).allInnerTexts()
      const written = cells.filter((cell) => cell !== '–')
      expect(written).toHaveLength(curve.gainDb.length)
      expect(Number(written[0].replace('\u2212', '-').replace(/[^-\d.]/g, ''))).toBeCloseTo(curve.gainDb[0], 1)
    }
  })

  test('another suspect is chosen with the arrow keys, and its curve is drawn instead', async () => {
    // 12 kΩ in place of R9's 15 kΩ moves so little that a second explanation stays.
    const recordings = await stage.record('PLV-0008', [{ kind: 'value', designator: 'R9', value: '12 kohm' }])
    stage.workshop.recordTestRun({ serial: 'PLV-0008', rig: 'simulated', recordings })
    const { page } = await openDesk(stage, '/units/PLV-0008')
    const list = page.getByRole('group', { name: 'Suspects, most probable first' })
    await list.waitFor()
    const response = /^Response curve of .* at min/
    const before = (await inspectChart(page, response, '--ink')).drawing
    await list.getByRole('radio').first().focus()
    await page.keyboard.press('ArrowDown')
    expect(await list.getByRole('radio').nth(1).isChecked()).toBe(true)
    await expect.poll(async () => (await inspectChart(page, response, '--ink')).drawing).not.toBe(before)
  })

  test('a board that passes has no suspects', async () => {
    const { page } = await openDesk(stage, '/units/PLV-0001')
    await page.getByText('This board passes.').waitFor()
    expect(await page.getByRole('heading', { name: 'What is probably wrong' }).count()).toBe(0)
  })
})

describe('for everyone', () => {
  test.each([
    { name: 'narrow', viewport: { width: 360, height: 800 } },
    { name: 'wide', viewport: { width: 1280, height: 900 } },
    { name: 'dark', viewport: { width: 360, height: 800 }, colorScheme: 'dark' as const },
  ])(
    '$name: the accessibility rules find nothing, and nothing is wider than the window',
    async ({ name, ...options }) => {
      const { page } = await openDesk(stage, path, options)
      await page.getByRole('group', { name: 'Suspects, most probable first' }).waitFor()
      for (const summary of ['Tell what was measured by hand', 'Record a rework'])
        await page.getByText(summary).press('Enter')
      await page.getByRole('button', { name: 'Record the rework' }).waitFor()
      await page.getByRole('region', { name: 'How often suspects were right' }).waitFor()
      expect(await violations(page)).toEqual([])
      expect(await overflowPx(page)).toBe(0)
      await picture(page, name)
    },
  )
})

describe('what a maker tells, by keyboard', () => {
  test('a current and a voltage are asked with, kept, and can be left out again', async () => {
    const { page } = await openDesk(stage, path)
    await page.getByText('Tell what was measured by hand').press('Enter')
    await page.getByLabel('Current from the supply').fill('0.55')
    await page.getByLabel('Another node').selectOption('half')
    await page.getByLabel('Its direct voltage').fill('4.4')
    await page.getByLabel('Its direct voltage').press('Enter')
    const told = page.getByRole('list', { name: 'Told so far' })
    await told.waitFor()
    expect(await told.getByRole('listitem').allInnerTexts()).toEqual(['Supply current 550 µA', '4.4 V at half'])
    const kept = await stage.workshop.diagnosis(lastRun())
    expect(kept.id).not.toBeNull()
    expect(kept.evidence.nodeVoltagesV).toEqual({ half: 4.4 })
    await picture(page, 'told')
    await page.getByRole('button', { name: 'Leave all this out again' }).press('Enter')
    await told.waitFor({ state: 'detached' })
    expect((await stage.workshop.diagnosis(lastRun())).evidence.supplyCurrentA).toBeNull()
  })

  test('a rework goes on record, the unit waits for its test, and the next test tells that this was it', async () => {
    const { page, complaints } = await openDesk(stage, path)
    await page.getByText('Record a rework').press('Enter')
    const form = page.getByRole('form', { name: 'Record a rework' })
    expect(await form.locator('select[name="designator"]').inputValue()).toBe('C7')
    await form.getByLabel('Put in').fill('33 nF film')
    await form.getByLabel('From lot').fill('LOT-7')
    await form.getByLabel('Note').fill('Took one from the wrong bag.')
    await form.getByRole('button', { name: 'Record the rework' }).press('Enter')
    const history = page.getByRole('region', { name: 'Rework' })
    await history.getByText('C7 redone: the next test tells whether that was it.').waitFor()
    expect(await textOf(history)).toContain('LOT-7')
    const { unit, reworks } = stage.workshop.unit(serial)
    expect(unit.state).toBe('untested')
    expect(reworks[0]).toMatchObject({ designator: 'C7', part: '33 nF film', lot: 'LOT-7' })
    expect(reworks[0].diagnosisId).not.toBeNull()
    // Another station tests the mended board: recordings of a healthy one. The page hears of it by itself.
    const bench = stage.otherStation()
    bench.recordTestRun({ serial, rig: 'simulated', recordings: await stage.record('PLV-0001') })
    await history.getByText('C7 was it: the board passes since, and the first suspect was right.').waitFor()
    await page.getByText('This board passes.').waitFor()
    const [, failed] = stage.workshop.unit(serial).runs
    await page.locator(`[data-run="${failed.id}"]`).getByRole('link').click()
    const figure = page.getByRole('region', { name: 'How often suspects were right' })
    await figure.waitFor()
    // One of one: Clopper-Pearson's lower limit is (0.05 / 2)^(1/1) = 2.5 %.
    await expect.poll(() => textOf(figure)).toMatch(/was right on 1 of 1 board: 100 % \(95 % limits 2\.5 % to 100 %\)/)
    expect(await page.getByText('Record a rework').count()).toBe(0)
    await picture(page, 'after')
    expect(complaints).toEqual([])
  })
})
