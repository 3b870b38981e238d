import { type ChildProcess, spawn } from 'node:child_process'
import { fileURLToPath } from 'node:url'

/** The command as a person starts it: the committed script over the built output. */
export const command = fileURLToPath(new URL('../apps/bench/bin/boardwright.mjs', import.meta.url))

export interface Finished {
  code: number | null
  signal: NodeJS.Signals | null
  stdout: string
  stderr: string
}

export interface RunOptions {
  env?: Record<string, string>
  cwd?: string
}

/** Starts `boardwright` with a clean environment of its own. */
export function startCommand(args: readonly string[], options: RunOptions = {}): ChildProcess {
  const { BOARDWRIGHT_FILE: _, BOARDWRIGHT_STATION: __, ...inherited } = process.env
  return spawn(process.execPath, [command, ...args], {
    cwd: options.cwd,
    env: { ...inherited, NODE_ENV: 'production', ...options.env },
    stdio: ['ignore', 'pipe', 'pipe'],
  })
}

/** Runs `boardwright` to its end. */
export function runCommand(args: readonly string[], options: RunOptions = {}): Promise<Finished> {
  const child = startCommand(args, options)
  const said = { stdout: '', stderr: '' }
  for (const name of ['stdout', 'stderr'] as const)
    child[name]?.setEncoding('utf8').on('data', (text) => {
      said[name] += text
    })
  return new Promise((resolve, reject) => {
    child.on('error', reject)
    child.on('close', (code, signal) => resolve({ code, signal, ...said }))
  })
}
