// `npm test`: installs, builds, finds the browser and the terminal multiplexer, runs every test.
import { spawnSync } from 'node:child_process'
import { existsSync, mkdirSync, readFileSync } from 'node:fs'
import { checkNode, ensureBuilt, ensureInstalled, root } from '../apps/launcher/prepare.mjs'

/** Programs that some tests drive, with the Debian package each comes in and what it is for. */
const programs = [
  {
    names: ['chromium', 'chromium-browser', 'google-chrome'],
    debian: 'chromium',
    use: 'the desk is tested in a browser',
  },
  { names: ['tmux'], debian: 'tmux', use: 'the bench is tested in a terminal' },
  { names: ['sox'], debian: 'sox', use: 'recordings are made by an audio tool that is not ours' },
  { names: ['pulseaudio'], debian: 'pulseaudio', use: 'the rig plays and records through a sound server' },
  { names: ['pactl'], debian: 'pulseaudio-utils', use: 'the rig plays and records through a sound server' },
  { names: ['dmtxread'], debian: 'dmtx-utils', use: 'the code on a label is read back' },
  { names: ['pdftoppm'], debian: 'poppler-utils', use: 'papers are drawn and their words read' },
  {
    names: [`${process.env.LADSPA_PATH ?? '/usr/lib/ladspa'}/dj_eq_1901.so`],
    debian: 'swh-plugins',
    use: 'a filter that is not ours stands for the board',
  },
]
const isThere = (name) =>
  name.includes('/') ? existsSync(name) : spawnSync('sh', ['-c', `command -v ${name}`]).status === 0
const missing = () => programs.filter((program) => !program.names.some(isThere))

function ensurePrograms() {
  const wanted = missing()
  if (wanted.length === 0) return
  const packages = wanted.map((program) => program.debian)
  const canInstall = isThere('apt-get') && process.getuid?.() === 0
  if (canInstall) {
    console.log(`  Installing ${packages.join(', ')} ...`)
    const env = { ...process.env, DEBIAN_FRONTEND: 'noninteractive' }
    spawnSync('apt-get', ['update', '-qq'], { stdio: 'ignore', env })
    spawnSync('apt-get', ['install', '-y', '-qq', '--no-install-recommends', ...packages], { stdio: 'ignore', env })
  }
  const still = missing()
  if (still.length === 0) return
  console.error(
    `Missing: ${still.map((p) => `${p.debian} (${p.use})`).join(', ')}. Install with: apt-get install ${still.map((p) => p.debian).join(' ')}`,
  )
  process.exit(1)
}

checkNode()
console.log('Boardwright: all tests')
await ensureInstalled()
ensurePrograms()
await ensureBuilt()

const summaryFile = `${root}node_modules/.cache/boardwright/test-summary.json`
mkdirSync(new URL('.', `file://${summaryFile}`), { recursive: true })
const args = ['vitest', 'run', '--config', 'tests/vitest.config.ts', '--reporter=default', '--reporter=json']
const run = spawnSync('npx', [...args, `--outputFile.json=${summaryFile}`, ...process.argv.slice(2)], {
  cwd: root,
  stdio: 'inherit',
  env: { ...process.env, NODE_ENV: 'test' },
})
const summary = JSON.parse(readFileSync(summaryFile, 'utf8'))
console.log(`${summary.numPassedTests} passed, ${summary.numFailedTests} failed`)
if (run.status === 0 && summary.numPassedTests === 0) console.error('No test ran: that is a failure.')
process.exit(run.status === 0 && summary.numPassedTests > 0 ? 0 : 1)
