import { readdirSync, readFileSync } from 'node:fs'
import { setTimeout as delay } from 'node:timers/promises'
import type { Product } from '@boardwright/core'
import { makeSweep } from '@boardwright/core'
import type { BrowserContextOptions, Page } from 'playwright-core'
import { type DeskPage, type DeskStage, openDesk, setUpDesk } from '../desk-stage.ts'
import { rigOn } from './rig-on-server.ts'
import { type SoundServer, startSoundServer } from './sound-server.mjs'

/** The desk in a real browser that plays and records through a real sound server; a filter that is not ours is the board. */
export interface MeasureStage extends DeskStage {
  sound: SoundServer
  product: Product
  /** Turns the knobs of the board, while the browser believes that it plays through one and the same output. */
  turnTo: (setting: string) => void
  /** The page, with the output "board" and the input "rig_in" chosen, a serial number given and the caution read. */
  openMeasure: (serial: string, options?: OpenMeasure) => Promise<DeskPage>
  /**
   * Turns the knobs, plays and records, and waits until the page goes on. A computer that is busy with other tests may lose
   * a block three times over; then it is recorded again, as a maker would.
   */
  recordAt: (page: Page, setting: string, options?: { by?: () => Promise<void> }) => Promise<void>
  /** Stops the browser's sound for a while, as a computer that is busy does. */
  stumble: (forMs: number) => Promise<void>
}

interface OpenMeasure extends BrowserContextOptions {
  output?: string
  input?: string
  /** False leaves the caution unread. */
  quiet?: boolean
}

/** A board that the equaliser can be: the demo's product with a short sweep, judged by nothing that its circuit says. */
function wrenOf({ testPlan, ...plover }: Product): Product {
  const { mirror, shape, distortion, ...plan } = testPlan
  const stimulus = { ...plan.stimulus, durationS: 1, levelDbfs: -20 }
  return { ...plover, id: 'wren', name: 'Wren', testPlan: { ...plan, stimulus } }
}

/** The reference board is the same filter, measured by the bench's way to the sound server. */
async function addReference({ workshop, sound, product }: Pick<MeasureStage, 'workshop' | 'sound' | 'product'>) {
  const sweep = makeSweep(product.testPlan.stimulus)
  const recordings = []
  for (const setting of product.testPlan.settings) {
    const device = `board_${setting}`
    const { audio, origin } = await rigOn(sound, { output: { device } }).run({ serial: 'REF-1', setting, sweep })
    recordings.push({ setting, audio, origin })
  }
  workshop.addReference({ productId: product.id, recordings })
}

function boardWithKnobs(sound: SoundServer): MeasureStage['turnTo'] {
  const module = sound.load(
    'module-remap-sink sink_name=board master=board_max remix=no sink_properties=device.description=board',
  )
  return (setting) => {
    const inputs: { index: number; owner_module: number | string }[] = JSON.parse(
      sound.control('-f', 'json', 'list', 'sink-inputs'),
    )
    const wires = inputs.find(({ owner_module }) => Number(owner_module) === module)
    if (!wires) throw new Error('the board is not connected')
    sound.control('move-sink-input', String(wires.index), `board_${setting}`)
  }
}

/** Runs in the page: true when the recording at a setting has an outcome. */
const isDone = (setting: string): boolean => {
  const words = document.querySelector('main form')?.textContent ?? ''
  const isBusy = /Stop the sound|Checking the recording|are being judged/.test(words)
  return !isBusy && (!words.includes(`record at ${setting}`) || words.includes('Recording refused: '))
}

/** Words and parent of a process; null when it has ended meanwhile. */
function processOf(pid: string): { words: string; parent: string } | null {
  try {
    const words = readFileSync(`/proc/${pid}/cmdline`, 'utf8')
    const stat = readFileSync(`/proc/${pid}/stat`, 'utf8')
    return { words, parent: stat.slice(stat.lastIndexOf(')') + 2).split(' ')[1] }
  } catch {
    return null
  }
}

/** The process that plays and records for a browser that this test has started. */
function soundProcess(): number {
  const isOurs = (pid: string): boolean =>
    pid === String(process.pid) || (Number(pid) > 1 && isOurs(processOf(pid)?.parent ?? '0'))
  const found = readdirSync('/proc').find(
    (pid) => /^\d+$/.test(pid) && processOf(pid)?.words.includes('audio.mojom.AudioService') && isOurs(pid),
  )
  if (found === undefined) throw new Error('the browser has no sound process')
  return Number(found)
}

export async function setUpMeasuring(): Promise<MeasureStage> {
  const sound = await startSoundServer()
  const turnTo = boardWithKnobs(sound)
  const desk = await setUpDesk({ sound: sound.environment }).catch(async (reason) => {
    // Nobody else would: the stage that closes it is not there.
    await sound.stop()
    throw reason
  })
  const product = wrenOf(desk.workshop.product())
  desk.workshop.addProduct(product)
  await addReference({ workshop: desk.workshop, sound, product })
  return {
    ...desk,
    sound,
    product,
    turnTo,
    async openMeasure(serial, { output = 'board', input = 'rig_in', quiet = true, ...options } = {}) {
      const opened = await openDesk(desk, '/measure', { permissions: ['microphone'], ...options })
      const { page } = opened
      page.setDefaultTimeout(30_000)
      await page.getByLabel('Product').selectOption({ label: product.name })
      await page.locator('option', { hasText: 'rig_in' }).waitFor({ state: 'attached' })
      await page.getByLabel(/^Output(?! channel)/).selectOption({ label: output })
      await page.getByLabel(/^Input(?! channel)/).selectOption({ label: input })
      await page.getByLabel('Serial number').fill(serial)
      if (quiet) await page.getByLabel('Headphones are off').check()
      return opened
    },
    async recordAt(page, setting, { by } = {}) {
      turnTo(setting)
      const refused = page.getByRole('region', { name: 'Recording refused' })
      for (let tries = 0; tries < 5; tries++) {
        const button = page.getByRole('button', { name: `Play and record at ${setting}` })
        await (by ? by() : button.click())
        await page.getByRole('button', { name: 'Stop the sound' }).waitFor()
        // The button comes back with the refused recording; otherwise another one stands there, or the verdict.
        await page.waitForFunction(isDone, setting, { timeout: 60_000 })
        if ((await refused.count()) === 0) return
      }
      throw new Error(`no good recording at ${setting}: ${await refused.textContent()}`)
    },
    async stumble(forMs) {
      const pid = soundProcess()
      process.kill(pid, 'SIGSTOP')
      await delay(forMs)
      process.kill(pid, 'SIGCONT')
    },
    async close() {
      await desk.close()
      await sound.stop()
    },
  }
}
