// What `npm start` and `npm test` share: packages from the lock file, then a build of what is stale.
// Plain Node without packages, because it runs before anything is installed.
import { spawn } from 'node:child_process'
import { createHash } from 'node:crypto'
import { existsSync, readFileSync, writeFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'

export const root = fileURLToPath(new URL('../..', import.meta.url))
const stamp = `${root}node_modules/.installed-from-lock`

/** Runs a command quietly with an elapsed-time line; on failure prints what it said and ends the program. */
async function step(title, command, args) {
  const started = Date.now()
  const seconds = () => `${((Date.now() - started) / 1000).toFixed(0)} s`
  const live = process.stdout.isTTY
  const timer = live
    ? setInterval(() => process.stdout.write(`\r  ${title} ... ${seconds()} `), 500)
    : setInterval(() => console.log(`  ... still at it (${seconds()})`), 20_000)
  if (!live) console.log(`  ${title} ...`)
  const said = []
  const child = spawn(command, args, {
    cwd: root,
    env: { ...process.env, TURBO_TELEMETRY_DISABLED: '1', NODE_ENV: 'development' },
    stdio: ['ignore', 'pipe', 'pipe'],
    shell: process.platform === 'win32',
  })
  child.stdout.on('data', (chunk) => said.push(chunk))
  child.stderr.on('data', (chunk) => said.push(chunk))
  const code = await new Promise((resolve) => {
    child.on('error', (error) => resolve(said.push(Buffer.from(`${error.message}\n`)) && 1))
    child.on('close', resolve)
  })
  clearInterval(timer)
  console.log(`${live ? '\r' : ''}  ${title}: ${code === 0 ? `done (${seconds()})` : 'failed'}      `)
  if (code === 0) return
  process.stderr.write(Buffer.concat(said))
  console.error(`\n${title} failed; what it said stands above. Mend that, then run the same command again.`)
  process.exit(1)
}

const lockHash = () =>
  createHash('sha256')
    .update(readFileSync(`${root}package-lock.json`))
    .digest('hex')

/** Installs what the lock file says, unless that very lock file is installed already. */
export async function ensureInstalled() {
  const wanted = lockHash()
  if (existsSync(stamp) && readFileSync(stamp, 'utf8') === wanted) return
  // npm ci compiles the database driver where no ready-made one can be fetched: that is most of the minute.
  await step('Installing packages (about a minute the first time)', 'npm', ['ci', '--no-audit', '--no-fund'])
  writeFileSync(stamp, wanted)
}

/** Builds what is stale; nothing to do takes about a second. */
export async function ensureBuilt() {
  await step('Building what is stale', 'npx', ['turbo', 'run', 'build', '--output-logs=errors-only'])
}

/** Says in one line which Node this needs, when it is another. */
export function checkNode() {
  const [major, minor] = process.versions.node.split('.').map(Number)
  if (major === 20 ? minor >= 19 : major === 22) return
  console.error(
    `Boardwright needs Node 20.19 or later, or 22; this is ${process.versions.node}. Install that and try again.`,
  )
  process.exit(1)
}
