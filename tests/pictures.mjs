// Makes the pictures of the README from the real thing: the built bench, server and desk on the demo workshop. Build first.
//   node tests/pictures.mjs [--folder shared/pictures]
import { mkdtempSync, rmSync, statSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { parseArgs } from 'node:util'
import { startServer } from '@boardwright/api'
import { makeDemoWorkshop } from '@boardwright/core/demo'
import { openStore } from '@boardwright/core/store'
import { makeWorkshop } from '@boardwright/core/workshop'
import { chromium } from 'playwright-core'
import { pictureOfBench } from './picture-of-bench.mjs'

const project = fileURLToPath(new URL('..', import.meta.url))
const { values } = parseArgs({ options: { folder: { type: 'string', default: join(project, 'shared/pictures') } } })
/** A README is read over slow lines as well. */
const mostBytes = 250_000

/** Photographs the page of the demo's failed unit. */
async function pictureOfDesk({ browser, url, path }) {
  const page = await browser.newPage({ viewport: { width: 1180, height: 1000 }, colorScheme: 'light' })
  await page.goto(`${url}/units/PLV-0005`)
  await page.locator('section[data-setting="mirror"] canvas').waitFor()
  // The setting that fails, with the verdict above it.
  const failing = page.locator('section[data-setting]:has(header [data-verdict="fail"])').first()
  await failing.getByRole('slider').waitFor()
  await page.screenshot({ path })
}

const folder = mkdtempSync(join(tmpdir(), 'boardwright-pictures-'))
const file = join(folder, 'demo.boardwright')
await makeDemoWorkshop({ file })
const workshop = makeWorkshop({ store: openStore(file), station: 'desk' })
const server = await startServer({
  workshop,
  workshopName: 'Fernhollow Audio',
  version: '0.1.0',
  port: 0,
  deskFolder: join(project, 'apps/dashboard/dist'),
})
const browser = await chromium.launch({
  executablePath: process.env.BOARDWRIGHT_CHROMIUM ?? '/usr/bin/chromium',
  args: ['--headless', '--no-sandbox', '--disable-gpu', '--disable-background-networking'],
})
try {
  const [desk, bench] = ['desk.png', 'bench.png'].map((name) => join(values.folder, name))
  await pictureOfDesk({ browser, url: server.url, path: desk })
  await pictureOfBench({ browser, file, path: bench })
  for (const path of [desk, bench]) {
    const { size } = statSync(path)
    console.log(`${path}: ${size} bytes`)
    if (size > mostBytes) process.exitCode = 1
  }
} finally {
  await browser.close()
  await server.close()
  workshop.close()
  rmSync(folder, { recursive: true, force: true })
}
