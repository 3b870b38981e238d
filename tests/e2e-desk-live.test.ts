import { writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { type DeskStage, openDesk, overflowPx, setUpDesk, textOf, violations } from './desk-stage.ts'

// What happens while the desk is open, uploads, and the accessibility rules: the built desk, the real API, a real browser.
let stage: DeskStage

beforeAll(async () => {
  stage = await setUpDesk()
}, 180_000)
afterAll(() => stage?.close())

const failedSerial = 'PLV-0005'
const passedSerial = 'PLV-0001'

describe('while the page is open', () => {
  test('a run recorded by another station appears without reload, and is said politely', async () => {
    const { page } = await openDesk(stage, '/')
    await page.getByText('Live: changes show by themselves').waitFor()
    await page.evaluate(() => Object.assign(window, { sameDocument: true }))
    const row = page.locator('tr[data-serial="PLV-0008"]')
    expect(await textOf(row)).toContain('not tested yet')
    const bench = stage.otherStation()
    const { run } = bench.recordTestRun({
      serial: 'PLV-0008',
      rig: 'simulated',
      recordings: await stage.record('PLV-0008'),
    })
    await row.getByText(run.verdict, { exact: true }).waitFor()
    expect(await textOf(row)).toContain(run.judgement.reasons[0].message)
    const news = page.locator('[role="status"][aria-live="polite"]')
    await news.getByText('was tested at bench').waitFor()
    expect(await textOf(news)).toContain(`PLV-0008 was tested at bench: ${run.verdict}`)
    expect(await violations(page)).toEqual([])
    expect(await page.evaluate(() => 'sameDocument' in window)).toBe(true)

    // The unit's page follows as well: a second run of the same unit takes the place of the first.
    await news.getByRole('link', { name: 'PLV-0008' }).click()
    await page.locator(`[data-run="${run.id}"]`).waitFor()
    const again = bench.recordTestRun({
      serial: 'PLV-0008',
      rig: 'simulated',
      recordings: await stage.record('PLV-0008'),
    })
    await page.locator(`[data-run="${again.run.id}"]`).getByText('(shown above)').waitFor()
    expect(await page.evaluate(() => 'sameDocument' in window)).toBe(true)
  })

  test('a server that goes away is a sentence and a remedy; when it is back, the page goes on by itself', async () => {
    const { page } = await openDesk(stage, '/')
    await page.getByText('Live: changes show by themselves').waitFor()
    const unitPageFetched = () =>
      page.evaluate(() => performance.getEntriesByType('resource').some(({ name }) => /unit-page.*\.js$/.test(name)))
    // The other pages are fetched ahead, so that they are there when the server is not.
    await expect.poll(unitPageFetched, { timeout: 10_000 }).toBe(true)
    await stage.stopServer()
    await page.getByText('Not connected').waitFor()
    await page.locator(`tr[data-serial="${passedSerial}"]`).getByRole('link').click()
    const alert = page.getByRole('alert')
    await alert.waitFor()
    expect(await alert.getAttribute('data-code')).toBe('server-unreachable')
    expect(await textOf(alert)).toMatch(/cannot reach the Boardwright server.*boardwright serve/)
    expect(await violations(page)).toEqual([])
    await stage.startServerAgain()
    await page.getByText('Live: changes show by themselves').waitFor()
    await page.getByText('This board passes.').waitFor()
    expect(await alert.count()).toBe(0)
  })

  test('a page whose files cannot be fetched is a sentence too, and trying again helps', async () => {
    const { page } = await openDesk(stage, '/nowhere')
    await page.route('**/assets/unit-page*', (route) => route.abort())
    await page.goto(`${stage.server.url}/units/${passedSerial}`)
    const alert = page.getByRole('alert')
    await alert.waitFor()
    expect(await alert.getAttribute('data-code')).toBe('server-unreachable')
    await page.unroute('**/assets/unit-page*')
    await page.getByRole('button', { name: 'Try again' }).click()
    await page.getByText('This board passes.').waitFor()
  })
})

describe('a test from recordings', () => {
  test('WAV files of the simulated rig are judged and the verdict is shown', async () => {
    const { page, complaints } = await openDesk(stage, '/test', {
      viewport: { width: 360, height: 740 },
      hasTouch: true,
    })
    await page.getByText('A sweep is loud.').waitFor()
    await page.getByLabel('All at once').setInputFiles(await stage.recordFiles('PLV-0077'))
    expect(await page.getByLabel('Serial number').inputValue()).toBe('PLV-0077')
    await page.getByRole('button', { name: 'Judge these recordings' }).click()
    await page.getByRole('heading', { level: 1, name: 'PLV-0077' }).waitFor({ timeout: 30_000 })
    await page.getByText('it is now a new unit').waitFor()
    const [run] = stage.workshop.unit('PLV-0077').runs
    expect(run).toMatchObject({ rig: 'upload', station: 'desk' })
    await page
      .getByText({ pass: 'This board passes.', fail: 'This board fails.', repeat: 'No verdict yet' }[run.verdict])
      .waitFor()
    expect(await overflowPx(page)).toBe(0)
    expect(complaints).toEqual([])
  })

  test('a file that is no WAV is refused in words, with the focus on them', async () => {
    const { page } = await openDesk(stage, `/test?unit=${passedSerial}`)
    const text = join(stage.folder, 'notes.wav')
    writeFileSync(text, 'this is a shopping list')
    const [max] = await stage.recordFiles(passedSerial)
    await page.locator('input[name="setting.max"]').setInputFiles(max)
    await page.locator('input[name="setting.min"]').setInputFiles(text)
    const runs = stage.workshop.unit(passedSerial).runs.length
    await page.getByRole('button', { name: 'Judge these recordings' }).click()
    const alert = page.getByRole('alert')
    await alert.waitFor()
    expect(await alert.getAttribute('data-code')).toBe('not-a-wave-file')
    expect(await textOf(alert)).toContain('notes.wav')
    await expect.poll(() => page.evaluate(() => document.activeElement?.getAttribute('role'))).toBe('alert')
    expect(await violations(page)).toEqual([])
    expect(stage.workshop.unit(passedSerial).runs).toHaveLength(runs)
  })
})

describe.each([
  { theme: 'light', width: 1280 },
  { theme: 'dark', width: 1280 },
  { theme: 'light', width: 360 },
  { theme: 'dark', width: 360 },
] as const)('in the $theme theme at $width pixels', ({ theme, width }) => {
  test.each([
    ['the list', '/', 'tbody tr'],
    ['a unit', `/units/${failedSerial}`, '[data-setting="mirror"]'],
    ['a refused run', '/units/PLV-0003', 'nav[aria-labelledby="runs"]'],
    ['the upload', '/test', 'form input[type="file"]'],
    ['an address that leads nowhere', '/nowhere', 'h1'],
  ])('%s breaks no accessibility rule and needs no scrolling sideways', async (_name, path, sign) => {
    const { page, complaints } = await openDesk(stage, path, {
      viewport: { width, height: 740 },
      colorScheme: theme,
      reducedMotion: 'reduce',
    })
    await page.locator(sign).first().waitFor()
    // One table is enough for the rules, and ten of them are slow.
    const summary = page.locator('summary').first()
    if ((await summary.count()) > 0) await summary.click()
    expect(await violations(page)).toEqual([])
    expect(await overflowPx(page)).toBe(0)
    expect(complaints).toEqual([])
    await page.context().close()
  })
})
