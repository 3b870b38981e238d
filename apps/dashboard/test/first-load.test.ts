import { mkdtempSync, rmSync, symlinkSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { build } from 'vite'
import { afterEach, beforeEach, describe, expect, test } from 'vitest'
import { firstLoadCeiling } from '../build/first-load-ceiling.ts'
import { refuseNodeParts } from '../build/refuse-node-parts.ts'

// Real builds of tiny pages: the guards of the desk's build must stop what they are there to stop.
const dashboard = fileURLToPath(new URL('..', import.meta.url))
let folder = ''

beforeEach(() => {
  // Inside the package, so that its dependencies are found as the desk finds them.
  folder = mkdtempSync(join(dashboard, '.first-load-'))
  symlinkSync(join(dashboard, '../../node_modules'), join(folder, 'node_modules'))
})
afterEach(() => rmSync(folder, { recursive: true, force: true }))

async function buildPage(script: string, limitBytes = 100_000): Promise<void> {
  writeFileSync(join(folder, 'index.html'), '<script type="module" src="/main.ts"></script>')
  writeFileSync(join(folder, 'main.ts'), script)
  await build({
    root: folder,
    configFile: false,
    logLevel: 'silent',
    resolve: { conditions: ['source', 'browser', 'module', 'development|production'] },
    plugins: [
      refuseNodeParts({ manifestPath: join(dashboard, '../../packages/core/package.json') }),
      firstLoadCeiling({ limitBytes, lateOnly: ['uplot'] }),
    ],
    build: { write: false },
  })
}

describe('the build of the desk', () => {
  test.each(['workshop', 'store', 'audio'])('refuses @boardwright/core/%s', async (entry) => {
    await expect(
      buildPage(`import * as node from '@boardwright/core/${entry}'; document.title = String(node)`),
    ).rejects.toThrow(new RegExp(`core/${entry} works only in Node`))
  })

  test("refuses a module of Node's own", async () => {
    await expect(
      buildPage(`import { readFileSync } from 'node:fs'; document.title = String(readFileSync)`),
    ).rejects.toThrow(/node:fs works only in Node/)
  })

  test('takes the pure entry points', async () => {
    await buildPage(`import { formatHz } from '@boardwright/core'; document.title = formatHz(20)`)
  })

  test('refuses a first load over the ceiling', async () => {
    const script = `import { createRoot } from 'react-dom/client'; createRoot(document.body)`
    await expect(buildPage(script, 20_000)).rejects.toThrow(/first load has grown to \d+ bytes/)
  })

  test('refuses the chart library in the first load, and takes it when it is loaded late', async () => {
    await expect(buildPage(`import uPlot from 'uplot'; document.title = String(uPlot)`)).rejects.toThrow(
      /uplot has got into/,
    )
    await buildPage(`import('uplot').then((late) => { document.title = String(late.default) })`)
  })
})
