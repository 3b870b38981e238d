import { makeSweep } from '@boardwright/core'
import { makeSimulatedRig, type RigDrift } from '@boardwright/core/audio'
import { demoFaultsOf, demoSeed } from '@boardwright/core/demo'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { type DeskStage, openDesk, overflowPx, setUpDesk, violations } from './desk-stage.ts'

// The desk's page of the rig, served by the real API on the demo workshop, in a real browser. The rig is simulated and drifts.
let stage: DeskStage
let setUps = 0

beforeAll(async () => {
  stage = await setUpDesk()
}, 240_000)
afterAll(() => stage?.close())

async function recordAt(serial: string, drift: RigDrift = {}) {
  const product = stage.workshop.product()
  const sweep = makeSweep(product.testPlan.stimulus)
  const rig = makeSimulatedRig({
    ...{ product, seed: demoSeed, speed: Number.POSITIVE_INFINITY, faultsOf: demoFaultsOf, clip: false },
    ...{ boardNoise: false, contactDb: 0.02, drift },
  })
  const setUp = `${setUps++}`
  const recordings = []
  for (const setting of product.testPlan.settings)
    recordings.push({ setting, ...(await rig.run({ serial, setting, sweep, setUp })) })
  return recordings
}
const check = async (drift?: RigDrift) =>
  stage.workshop.rigChecks.record({ rig: 'simulated', recordings: await recordAt('REFERENCE', drift) })

/** Pictures to look at, where a folder for them is named. */
const pictures = process.env.BOARDWRIGHT_PICTURES

test('a rig check at the bench shows by itself: standing, chart and table; a drift stops work in one sentence', async () => {
  const { page, complaints } = await openDesk(stage, '/rig')
  const rig = page.locator('[data-rig="simulated"]')
  const before = stage.workshop.rigChecks.list({}).length
  await check()
  await rig.getByText(/The rig was good at its check of/).waitFor()
  await page.locator('[data-check]').first().getByText('good', { exact: true }).waitFor()
  await rig.getByRole('img', { name: /^Level at 1 kHz against the reference \(dB\) of \d+ checks; the last/ }).waitFor()

  await stage.workshop.recordTestRun({ serial: 'PLV-0004', rig: 'simulated', recordings: await recordAt('PLV-0004') })
  const { doubtful } = await check({ levelDb: 0.5 })
  expect(doubtful.map(({ serial }) => serial)).toEqual(['PLV-0004'])
  await rig.getByText(/The simulated rig has drifted: at maximum the level is 0\.\d\d dB higher/).waitFor()
  await page.locator('[data-check]').first().getByText('drifted', { exact: true }).waitFor()
  expect(await page.locator('[data-check]').count()).toBe(before + 2)
  expect(await rig.locator('path[class*="out"]').count()).toBeGreaterThan(0)
  if (pictures) await page.screenshot({ path: `${pictures}/rig-drifted.png`, fullPage: true })
  expect(complaints).toEqual([])
})

test('a unit in doubt is taken back with one button, and leaves the list when it was tested again', async () => {
  const { page, complaints } = await openDesk(stage, '/rig')
  const item = page.locator('[data-serial="PLV-0004"]')
  await item.getByText('Take it back from the shelf, then test it again.').waitFor()
  await page.getByRole('button', { name: 'Take this unit back from the shelf' }).click()
  await item.getByText('Test it again.', { exact: true }).waitFor()
  expect(stage.workshop.unit('PLV-0004').unit.state).toBe('untested')
  await check()
  stage.workshop.recordTestRun({ serial: 'PLV-0004', rig: 'simulated', recordings: await recordAt('PLV-0004') })
  await page.getByText('No unit stands on a rig in doubt.').waitFor()
  expect(complaints).toEqual([])
})

test('a gauge study shows its progress and its result in words and figures, and is taken over', async () => {
  const { page, complaints } = await openDesk(stage, '/rig')
  const { gaugeStudies } = stage.workshop
  const serials = ['PLV-0001', 'PLV-0002', 'PLV-0004']
  const { study } = gaugeStudies.start({ rig: 'simulated', serials, repeats: 2, setUps: 2, note: 'new pins' })
  await page.getByText(`Gauge study ${study.id} is under way: 0 of 12 readings.`).waitFor()
  for (let { next } = gaugeStudies.show(study.id); next; { next } = gaugeStudies.show(study.id)) {
    const recordings = await recordAt(next.serial)
    gaugeStudies.addReading({ studyId: study.id, position: next.position, rig: 'simulated', recordings })
  }
  const shown = page.locator(`[data-study="${study.id}"]`)
  const result = gaugeStudies.result(study.id)
  for (const sentence of result.words.slice(0, 3)) await shown.getByText(sentence).waitFor()
  expect(await shown.locator('tbody tr').count()).toBe(result.quantities.length)
  if (pictures) await page.screenshot({ path: `${pictures}/rig-gauge.png`, fullPage: true })
  await shown.getByRole('button', { name: 'Let the judge count with this study' }).click()
  await page
    .locator('[data-in-force="simulated"]')
    .getByText(/from gauge study 1 of .* 12 readings/)
    .waitFor()
  expect(gaugeStudies.inForce({ rig: 'simulated' })?.rigUncertaintyDb).toBe(result.effect.rigUncertaintyDb)
  await shown.getByRole('button').waitFor({ state: 'detached' })
  expect(complaints).toEqual([])
}, 120_000)

test.each([
  ['light', 1280],
  ['dark', 360],
] as const)(
  'no rule of accessibility is broken, and nothing scrolls sideways (%s, %i pixels)',
  async (colorScheme, width) => {
    const { page } = await openDesk(stage, '/rig', { colorScheme, viewport: { width, height: 800 } })
    await page.locator('[data-check]').first().waitFor()
    await page.locator('[data-study] tbody tr').first().waitFor()
    if (pictures) await page.screenshot({ path: `${pictures}/rig-${colorScheme}.png`, fullPage: true })
    expect(await violations(page)).toEqual([])
    expect(await overflowPx(page)).toBe(0)
  },
)
