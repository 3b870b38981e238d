import { type ChildProcess, fork } from 'node:child_process'
import { mkdirSync, rmSync } from 'node:fs'
import { basename, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { build } from 'tsup'
import { afterAll, beforeAll } from 'vitest'

const core = fileURLToPath(new URL('../..', import.meta.url))

/**
 * Bundles a TypeScript file of `test/store/child/` before the tests of a file, so that it can run as a process of its own:
 * always from the present sources, without a build having been made. @returns the path of the bundle
 */
export function bundledChild(name: string): { path: string } {
  // Inside the package, so that the child finds its dependencies.
  const outDir = join(core, 'node_modules/.cache/test-children', `${basename(name, '.ts')}-${process.pid}`)
  beforeAll(async () => {
    mkdirSync(outDir, { recursive: true })
    await build({
      entry: [join(core, 'test/store/child', name)],
      outDir,
      format: 'esm',
      target: 'node20',
      external: ['better-sqlite3'],
      config: false,
      silent: true,
      clean: false,
      outExtension: () => ({ js: '.mjs' }),
    })
  })
  afterAll(() => rmSync(outDir, { recursive: true, force: true }))
  return { path: join(outDir, `${basename(name, '.ts')}.mjs`) }
}

export interface EndedChild {
  code: number | null
  signal: NodeJS.Signals | null
  stdout: string
  stderr: string
}

/** Starts a bundled child. `ended` tells how it ended and what it wrote. */
export function startChild(path: string, args: readonly string[]): { child: ChildProcess; ended: Promise<EndedChild> } {
  const child = fork(path, [...args], { stdio: ['ignore', 'pipe', 'pipe', 'ipc'] })
  const text = { stdout: '', stderr: '' }
  for (const stream of ['stdout', 'stderr'] as const)
    child[stream]?.setEncoding('utf8').on('data', (part: string) => {
      text[stream] += part
    })
  const ended = new Promise<EndedChild>((resolve, reject) => {
    child.on('error', reject)
    child.on('close', (code, signal) => resolve({ code, signal, ...text }))
  })
  return { child, ended }
}
