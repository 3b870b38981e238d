import { execFile } from 'node:child_process'
import { mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { createRequire } from 'node:module'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { promisify } from 'node:util'
import { type RunningServer, startServer } from '@boardwright/api'
import { makeSweep } from '@boardwright/core'
import { makeSimulatedRig, type RigDriver, writeWaveFile } from '@boardwright/core/audio'
import type { Fault } from '@boardwright/core/circuit'
import { demoFaultsOf, demoSeed, makeDemoWorkshop } from '@boardwright/core/demo'
import { openStore } from '@boardwright/core/store'
import { makeWorkshop, type Workshop } from '@boardwright/core/workshop'
import type { Browser, BrowserContextOptions, Locator, Page } from 'playwright-core'
import { launchChromium } from './chromium.ts'

const project = fileURLToPath(new URL('..', import.meta.url))
const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8')

/** All that a test of the desk needs: the built desk, served by the real API over a real socket, and a browser. */
export interface DeskStage {
  folder: string
  workshop: Workshop
  server: RunningServer
  browser: Browser
  /** Recordings of a board, fresh from the simulated rig; its faults are those of the demo unless they are given. */
  record: (
    serial: string,
    faults?: readonly Fault[],
  ) => Promise<{ setting: string; audio: Awaited<ReturnType<RigDriver['run']>>['audio']; origin: string }[]>
  /** The same as WAV files named SERIAL-SETTING.wav; gives their paths. */
  recordFiles: (serial: string) => Promise<string[]>
  /** Another connection to the workshop file, as the bench has one. */
  otherStation: () => Workshop
  /** Stops the server, or starts it again at the same address. */
  stopServer: () => Promise<void>
  startServerAgain: () => Promise<void>
  close: () => Promise<void>
}

/**
 * Builds the desk as `npm run build` does, in a process of its own (the tests' NODE_ENV would build React's development
 * copy), into a folder of its own: nobody else's build can get in the way.
 */
async function buildDesk(outDir: string): Promise<void> {
  const vite = join(project, 'node_modules/vite/bin/vite.js')
  await promisify(execFile)(process.execPath, [vite, 'build', '--outDir', outDir, '--emptyOutDir'], {
    cwd: join(project, 'apps/dashboard'),
    env: { ...process.env, NODE_ENV: 'production' },
  })
}

/** @param options.sound environment of a sound server that the browser plays and records through */
export async function setUpDesk(options: { sound?: NodeJS.ProcessEnv } = {}): Promise<DeskStage> {
  const browser = await launchChromium(options)
  const folder = mkdtempSync(join(tmpdir(), 'boardwright-desk-'))
  const deskFolder = join(folder, 'desk')
  await buildDesk(deskFolder)
  const file = join(folder, 'demo.boardwright')
  await makeDemoWorkshop({ file })
  const workshop = makeWorkshop({ store: openStore(file), station: 'desk' })
  const product = workshop.product()
  const sweep = makeSweep(product.testPlan.stimulus)
  const rigWith = (faultsOf: typeof demoFaultsOf) =>
    makeSimulatedRig({ product, seed: demoSeed, speed: Number.POSITIVE_INFINITY, faultsOf })
  const others: Workshop[] = []
  const serve = (port: number) =>
    startServer({ workshop, workshopName: 'Fernhollow Audio', version: '0.0.0', port, deskFolder })

  const stage: DeskStage = {
    folder,
    workshop,
    browser,
    server: await serve(0),
    async record(serial, faults) {
      const rig = rigWith(faults ? () => faults : demoFaultsOf)
      const recordings: Awaited<ReturnType<DeskStage['record']>> = []
      for (const setting of product.testPlan.settings)
        recordings.push({ setting, ...(await rig.run({ serial, setting, sweep })) })
      return recordings
    },
    async recordFiles(serial) {
      const recordings = await stage.record(serial)
      return recordings.map(({ setting, audio }) => {
        const path = join(folder, `${serial}-${setting}.wav`)
        writeWaveFile(path, { rateHz: audio.rateHz, channels: audio.channels, format: 'pcm24' })
        return path
      })
    },
    otherStation() {
      const other = makeWorkshop({ store: openStore(file), station: 'bench' })
      others.push(other)
      return other
    },
    stopServer: () => stage.server.close(),
    async startServerAgain() {
      stage.server = await serve(stage.server.port)
    },
    async close() {
      await browser.close()
      await stage.server.close()
      for (const other of others) other.close()
      workshop.close()
      rmSync(folder, { recursive: true, force: true })
    },
  }
  return stage
}

export interface DeskPage {
  page: Page
  /** What the browser complained about: faults of scripts, refused requests, breaches of the security policy. */
  complaints: string[]
}

/** A fresh browser window on a page of the desk. */
export async function openDesk(stage: DeskStage, path: string, options: BrowserContextOptions = {}): Promise<DeskPage> {
  const context = await stage.browser.newContext({ viewport: { width: 1280, height: 900 }, ...options })
  await context.addInitScript(axe)
  const page = await context.newPage()
  const complaints: string[] = []
  page.on('pageerror', (error) => complaints.push(error.message))
  page.on('console', (message) => {
    if (message.type() === 'error' || message.type() === 'warning') complaints.push(message.text())
  })
  await page.goto(stage.server.url + path)
  return { page, complaints }
}

/** The text of an element, also where it is not seen. */
export const textOf = async (element: Locator): Promise<string> => (await element.textContent()) ?? ''

/** What the accessibility rules find on the page, one line each; empty when nothing. */
export const violations = (page: Page): Promise<string[]> =>
  page.evaluate(async () => {
    const { axe } = window as unknown as {
      axe: { run: () => Promise<{ violations: { id: string; nodes: { target: string[] }[] }[] }> }
    }
    const found = await axe.run()
    return found.violations.map(({ id, nodes }) => `${id}: ${nodes.map((node) => node.target.join(' ')).join(', ')}`)
  })

/** How many pixels wider than the window the page is; 0 when nothing must be scrolled sideways. */
export const overflowPx = (page: Page): Promise<number> =>
  page.evaluate(() => Math.max(0, document.documentElement.scrollWidth - window.innerWidth))

/** A chart's drawing as text, and how many of its pixels are close to a colour variable of the theme. */
export const inspectChart = (page: Page, name: RegExp, ink: string) =>
  page
    .getByRole('img', { name })
    .first()
    .locator('canvas')
    .evaluate((element, variable) => {
      const canvas = element as HTMLCanvasElement
      const colour = getComputedStyle(document.documentElement).getPropertyValue(variable).trim()
      const [red, green, blue] = [1, 3, 5].map((at) => Number.parseInt(colour.slice(at, at + 2), 16))
      const { data } = canvas.getContext('2d')!.getImageData(0, 0, canvas.width, canvas.height)
      let inked = 0
      for (let i = 0; i < data.length; i += 4)
        if (
          data[i + 3] > 200 &&
          Math.abs(data[i] - red) + Math.abs(data[i + 1] - green) + Math.abs(data[i + 2] - blue) < 24
        )
          inked++
      return { inked, drawing: canvas.toDataURL() }
    }, ink)
