// `npm start`: from a fresh clone to a board on the (simulated) rig.
import { spawn } from 'node:child_process'
import { existsSync, mkdirSync } from 'node:fs'
import { createServer } from 'node:net'
import { checkNode, ensureBuilt, ensureInstalled, root } from './prepare.mjs'

const command = `${root}apps/bench/bin/boardwright.mjs`
const workshop = process.env.BOARDWRIGHT_FILE ?? `${root}.demo/fernhollow.boardwright`

/** Runs a boardwright command and gives its exit code. */
const boardwright = (args, stdio = 'inherit') =>
  new Promise((resolve) => {
    spawn(process.execPath, [command, '--file', workshop, ...args], { stdio }).on('close', resolve)
  })

const isFree = (port) =>
  new Promise((resolve) => {
    const probe = createServer().once('error', () => resolve(false))
    probe.listen(port, '127.0.0.1', () => probe.close(() => resolve(true)))
  })

async function freePort(first) {
  for (let port = first; port < first + 50; port++) if (await isFree(port)) return port
  return first
}

/** Starts the API and the desk in a process of their own; resolves when they answer. */
async function startServer() {
  const port = await freePort(Number(process.env.BOARDWRIGHT_PORT ?? 4680))
  const server = spawn(process.execPath, [command, '--file', workshop, 'serve', '--port', String(port)], {
    stdio: ['ignore', 'ignore', 'inherit'],
  })
  const url = `http://127.0.0.1:${port}`
  for (let tries = 0; tries < 100; tries++) {
    if (server.exitCode !== null) break
    if (
      await fetch(`${url}/api/health`).then(
        (r) => r.ok,
        () => false,
      )
    )
      return { server, url }
    await new Promise((resolve) => setTimeout(resolve, 100))
  }
  server.kill()
  console.error('The API did not start; what it said stands above.')
  process.exit(1)
}

checkNode()
console.log('Boardwright')
await ensureInstalled()
await ensureBuilt()
if (!existsSync(workshop)) {
  mkdirSync(new URL('.', `file://${workshop}`), { recursive: true })
  console.log('  Making the demo workshop (Fernhollow Audio, a Plover on a simulated rig) ...')
  const code = await boardwright(['demo'], ['ignore', 'inherit', 'inherit'])
  if (code !== 0) process.exit(code ?? 1)
} else if (process.env.BOARDWRIGHT_FILE === undefined) {
  // Its unit may have been tested at an earlier start. A workshop of one's own is not touched.
  const code = await boardwright(['demo', '--next-unit'], ['ignore', 'ignore', 'inherit'])
  if (code !== 0) process.exit(code ?? 1)
}
const { server, url } = await startServer()
let stopping = false
const stop = (code) => {
  stopping = true
  server.kill()
  process.exit(code)
}
process.on('SIGTERM', () => stop(0))
process.on('SIGINT', () => stop(0))
server.on('close', () => stopping || console.error('The API has stopped by itself; start again with npm start.'))

console.log(`  The desk is at ${url}`)
if (process.stdin.isTTY && process.stdout.isTTY) {
  console.log('  The bench opens here: Enter tests the demo unit, q leaves.')
  stop((await boardwright(['open', '--rig', 'simulated'])) ?? 0)
}
console.log('  No terminal here, so the next demo unit is tested on the simulated rig at once:')
await boardwright(['test', '--next', '--rig', 'simulated'])
console.log(`  The desk stays at ${url} until this is stopped.`)
