import { spawn } from 'node:child_process'
import { setTimeout as delay } from 'node:timers/promises'
import type { Page } from 'playwright-core'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { openDesk, textOf, violations } from '../desk-stage.ts'
import { type MeasureStage, setUpMeasuring } from './measure-stage.ts'

// What goes wrong while the desk measures ends in silence and one clear sentence, and nothing that was recorded is lost.
let stage: MeasureStage

beforeAll(async () => {
  stage = await setUpMeasuring()
}, 180_000)
afterAll(() => stage?.close())

/** Enough for a sweep that is played three times over, several times, on a busy computer. */
const longMs = 240_000

const play = (page: Page) => page.getByRole('button', { name: /^Play and record/ })
const stop = (page: Page) => page.getByRole('button', { name: 'Stop the sound' })
const isPlaying = (page: Page) => page.getByText('Playing the sweep at max.').waitFor()

/** The sentence that is shown, its remedy and its code. */
async function troubleOn(page: Page) {
  const alert = page.getByRole('alert')
  await alert.waitFor()
  const [sentence, remedy] = await alert.locator('p').allInnerTexts()
  return { code: await alert.getAttribute('data-code'), sentence, remedy }
}

/** Listens to what an output really plays; tells when it last heard something, ms of performance.now(). */
function ear(sink: string) {
  const words = ['--record', '--raw', '--format=float32le', '--rate=48000', '--channels=2', '--latency-msec=20']
  const program = spawn('pacat', [...words, `--device=${sink}.monitor`], { env: stage.sound.environment })
  let lastMs: number | null = null
  let loudest = 0
  program.stdout.on('data', (chunk: Buffer) => {
    for (let at = 0; at + 4 <= chunk.length; at += 4) {
      const size = Math.abs(chunk.readFloatLE(at))
      if (size > 1e-4) lastMs = performance.now()
      loudest = Math.max(loudest, size)
    }
  })
  return {
    lastMs: () => lastMs,
    loudest: () => loudest,
    async close() {
      program.kill('SIGKILL')
      await new Promise((resolve) => program.on('close', resolve))
    },
  }
}

test('nothing is played before the caution is read, and never above the limit', async () => {
  const listener = ear('rig')
  const { page } = await stage.openMeasure('WRN-0010', { quiet: false })
  await play(page).click()
  const tick = page.getByLabel('Headphones are off')
  expect(await tick.evaluate((box: HTMLInputElement) => box.validity.valueMissing)).toBe(true)
  expect(await stop(page).count()).toBe(0)
  await tick.check()
  await page.getByLabel('Never louder than').fill('-30')
  await play(page).click()
  expect(await troubleOn(page)).toMatchObject({
    code: 'level-too-high',
    sentence: 'The sweep reaches -20.0 dBFS; the rig may play -30 dBFS at most.',
  })
  await delay(500)
  expect(listener.lastMs()).toBeNull()
  // An empty field is no level: the limit stays, and the form is not sent.
  await page.getByLabel('Never louder than').fill('')
  await play(page).click()
  expect(await stop(page).count()).toBe(0)
  await page.getByLabel('Never louder than').fill('-20')
  stage.turnTo('min')
  await play(page).click()
  await isPlaying(page)
  await expect.poll(() => listener.loudest(), { timeout: 20_000 }).toBeGreaterThan(0.05)
  await page.keyboard.press('Escape')
  await page.getByText('Stopped.').waitFor()
  // -20 dBFS is 0.1; the filter gives nothing to it at any frequency.
  expect(listener.loudest()).toBeLessThan(0.101)
  await listener.close()
  await page.context().close()
})

test('a stop silences the output at once', async () => {
  const listener = ear('rig')
  const { page } = await stage.openMeasure('WRN-0011')
  await play(page).click()
  await isPlaying(page)
  await expect.poll(() => listener.lastMs(), { timeout: 20_000, interval: 10 }).not.toBeNull()
  expect(await page.evaluate(() => document.activeElement?.textContent)).toContain('Stop the sound')
  const stoppedMs = performance.now()
  await page.keyboard.press('Enter')
  await page.getByText('Stopped. What was recorded before is kept.').waitFor()
  await delay(1000)
  // The buffers of browser and server are about 100 ms; the sweep would have gone on for more than a second.
  expect(listener.lastMs()! - stoppedMs).toBeLessThan(500)
  expect(await play(page).isEnabled()).toBe(true)
  await listener.close()
  await page.context().close()
})

test.each(['output', 'input'] as const)('the %s is unplugged in the middle', async (which) => {
  const sink = stage.sound.load(stage.sound.nullSink(`usb_${which}`, 48_000))
  const source = stage.sound.load(stage.sound.input(`usb_${which}_in`, `usb_${which}`))
  const { page } = await stage.openMeasure('WRN-0012', { output: `usb_${which}`, input: `usb_${which}_in` })
  await play(page).click()
  await isPlaying(page)
  await delay(800)
  stage.sound.control('unload-module', String(which === 'output' ? sink : source))
  const { code, sentence, remedy } = await troubleOn(page)
  expect(code).toBe('device-changed')
  expect(sentence).toMatch(/^The sound was stopped: the (in|out)put "usb_\w+" went away\.$/)
  expect(remedy).toContain('Nothing is lost.')
  expect(await violations(page)).toEqual([])
  await page.context().close()
})

test('a page that is hidden stops the sound', async () => {
  const { page } = await stage.openMeasure('WRN-0013')
  await play(page).click()
  await isPlaying(page)
  await page.evaluate(() => {
    Object.defineProperty(document, 'hidden', { value: true, configurable: true })
    document.dispatchEvent(new Event('visibilitychange'))
  })
  expect(await troubleOn(page)).toMatchObject({
    code: 'page-hidden',
    sentence: 'The sound was stopped: this page was hidden while it played.',
  })
  await page.context().close()
})

test('a sound that the browser puts to sleep is told, and can be made again', async () => {
  const { page } = await stage.openMeasure('WRN-0018')
  // The page's own contexts, so that one can be put to sleep from outside as a system does.
  await page.evaluate(() => {
    const contexts: AudioContext[] = []
    const Own = AudioContext
    Object.assign(window, {
      contexts,
      AudioContext: class extends Own {
        constructor(options?: AudioContextOptions) {
          super(options)
          contexts.push(this)
        }
      },
    })
  })
  await play(page).click()
  await isPlaying(page)
  await page.evaluate(() => (window as unknown as { contexts: AudioContext[] }).contexts.at(-1)?.suspend())
  expect(await troubleOn(page)).toMatchObject({
    code: 'sound-suspended',
    sentence: 'The sound was stopped: the browser put it to sleep.',
  })
  await play(page).click()
  await isPlaying(page)
  await page.context().close()
})

test('a new browser is asked for the microphone once; then the devices have names', async () => {
  const { page } = await openDesk(stage, '/measure')
  const allow = page.getByRole('button', { name: 'Allow and show the devices' })
  await allow.click()
  expect(await troubleOn(page)).toMatchObject({ code: 'microphone-refused' })
  await page.context().grantPermissions(['microphone'])
  await allow.click()
  await page.locator('option', { hasText: 'rig_in' }).waitFor({ state: 'attached' })
  expect(await allow.count()).toBe(0)
  expect(await page.getByRole('alert').count()).toBe(0)
  await page.context().close()
})

test('a browser that may not record says so, and goes on when it may', async () => {
  const { page } = await stage.openMeasure('WRN-0014')
  await page.context().clearPermissions()
  await play(page).click()
  const { code, sentence, remedy } = await troubleOn(page)
  expect({ code, sentence }).toEqual({
    code: 'microphone-refused',
    sentence: 'The browser does not let this page record.',
  })
  expect(remedy).toContain('Allow the microphone')
  await page.context().grantPermissions(['microphone'])
  await play(page).click()
  await isPlaying(page)
  await page.context().close()
})

test(
  'a device that runs at another rate behind the back of the browser is found out',
  async () => {
    const { page } = await stage.openMeasure('WRN-0015', { output: 'rig44', input: 'rig44_in' })
    await play(page).click()
    const refused = page.getByRole('region', { name: 'Recording refused' })
    await refused.waitFor({ timeout: 60_000 })
    // A computer that is busy with other tests may lose blocks as well.
    for (let tries = 0; tries < 4 && /lost|does not follow/.test(await textOf(refused)); tries++) {
      await play(page).click()
      await stop(page).waitFor()
      await refused.waitFor({ timeout: 60_000 })
    }
    expect(await textOf(refused)).toContain('a device runs at less than 48 kHz and the system converts')
    expect(await refused.getByRole('button').count()).toBe(0)
    expect(await violations(page)).toEqual([])
    await page.context().close()
  },
  longMs,
)

test('a unit that may not be tested is refused before the first sound', async () => {
  const { page } = await stage.openMeasure('PLV-0001')
  await play(page).click()
  expect(await troubleOn(page)).toMatchObject({
    code: 'unit-not-testable',
    sentence: 'Unit PLV-0001 is no Wren.',
  })
  await page.getByLabel('Serial number').fill('no number!')
  await play(page).click()
  await expect.poll(async () => (await troubleOn(page)).code).toBe('bad-serial')
  await page.context().close()
})

test(
  'a sweep that lost a block is played again by itself',
  async () => {
    const { page } = await stage.openMeasure('WRN-0017')
    stage.turnTo('max')
    await play(page).click()
    await isPlaying(page)
    await delay(1200)
    await stage.stumble(300)
    await page.getByText('A block was lost: playing the sweep again (1 of 2).').waitFor()
    await page.getByText(/played [23] times/).waitFor({ timeout: 60_000 })
    await page.context().close()
  },
  longMs,
)

test(
  'a server that is away at the end loses nothing: the recordings are sent when it is back',
  async () => {
    const { page } = await stage.openMeasure('WRN-0016')
    await stage.recordAt(page, 'max')
    await stage.stopServer()
    await stage.recordAt(page, 'min')
    expect(await troubleOn(page)).toMatchObject({ code: 'server-unreachable' })
    await stage.startServerAgain()
    await page.getByRole('button', { name: 'Judge these recordings' }).click()
    await page.getByRole('region', { name: 'Verdict on WRN-0016' }).waitFor({ timeout: 60_000 })
    expect(stage.workshop.unit('WRN-0016').runs).toHaveLength(1)
    await page.context().close()
  },
  longMs,
)

// The last one: it leaves no sound server behind.
test('a sound server that is killed in the middle ends in a sentence', async () => {
  const { page } = await stage.openMeasure('WRN-0019')
  await play(page).click()
  await isPlaying(page)
  await delay(800)
  stage.sound.kill()
  const { code, sentence } = await troubleOn(page)
  expect(['device-changed', 'rig-failed', 'sound-suspended']).toContain(code)
  expect(sentence).toMatch(/^The (sound was stopped|(in|out)put "\w+" (stopped|does not))/)
  expect(stage.workshop.units({ search: 'WRN-0019' })).toEqual([])
  await page.context().close()
})
