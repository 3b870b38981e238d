// Twenty whole tests by the command `boardwright test --rig sound`, five-second sweeps at two settings through the equaliser:
// how many recordings were complete, how near the curves are to the plug-in run off line, and how long the contact check took.
// Not part of npm test. Needs the built command: npm run build, then node tests/sound/twenty-tests.mjs [--runs 20]
import { execFileSync } from 'node:child_process'
import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { parseArgs } from 'node:util'
import { openStore } from '@boardwright/core/store'
import { makeWorkshop } from '@boardwright/core/workshop'
import {
  boards,
  equaliserProduct,
  makeBoard,
  makeWorkshopFile,
  runBoardwright,
  startBoardwright,
} from './bench-on-server.mjs'
import { startSoundServer } from './sound-server.mjs'

const { values } = parseArgs({ options: { runs: { type: 'string', default: '20' } } })
const wanted = Number(values.runs)
const root = fileURLToPath(new URL('../..', import.meta.url))
const out = join(root, 'node_modules/.cache/sound')
const words = [join(root, 'tests/sound/equaliser-off-line.ts'), '--no-config', '--format', 'esm', '--out-dir', out]
execFileSync(process.execPath, [join(root, 'node_modules/tsup/dist/cli-default.js'), ...words, '--silent'], {
  cwd: root,
})
const { equaliserOffLine } = await import(join(out, 'equaliser-off-line.js')).catch(
  () => import(join(out, 'equaliser-off-line.mjs')),
)

const folder = mkdtempSync(join(tmpdir(), 'boardwright-twenty-'))
const file = join(folder, 'workshop.boardwright')
const server = await startSoundServer()
const board = makeBoard(server)
board.put(boards.max)
makeWorkshopFile(file, equaliserProduct(5))
const how = { environment: server.environment, file }
const need = async (args, options = {}) => {
  const { code, stderr } = await runBoardwright(args, { ...how, ...options })
  if (code !== 0) throw new Error(stderr)
}
await need(['rig', 'set', '--output', 'board', '--input', 'rig_in'])
await need(['reference', 'add', '--rig', 'sound', '--runs', '1', '--yes'], { board })

/** One test; the time from the first word of the contact check to the first of the sweep. */
async function testOnce(serial) {
  board.put(boards.max)
  const running = startBoardwright(['test', '--rig', 'sound', '--unit', serial, '--yes'], how)
  const contactMs = []
  for (const setting of ['max', 'min']) {
    if (setting === 'min') {
      await running.until(/Set the board/)
      board.put(boards.min)
      running.answer()
    }
    await running.until(new RegExp(`${setting}: listening`))
    const beganMs = performance.now()
    await running.until(new RegExp(`${setting}: playing the sweep`))
    contactMs.push(performance.now() - beganMs)
  }
  return { contactMs, ...(await running.ended) }
}

const contactMs = []
let failed = 0
const beganMs = performance.now()
for (let run = 1; run <= wanted; run++) {
  const ended = await testOnce(`RUN-${run}`).catch((error) => ({ code: -1, stderr: String(error), contactMs: [] }))
  contactMs.push(...ended.contactMs)
  if (ended.code !== 0) {
    failed++
    console.log(`run ${run}: code ${ended.code}: ${ended.stdout ?? ''}${ended.stderr}`)
  }
}
const secondsEach = (performance.now() - beganMs) / 1000 / wanted

const workshop = makeWorkshop({ store: openStore(file), station: 'twenty' })
const runs = workshop
  .units()
  .flatMap(({ serial }) => workshop.unit(serial).runs.map(({ id }) => workshop.testRun(id).run))
const measurements = runs.flatMap((run) => run.measurements)
const complete = measurements.filter(({ usable, findings }) => usable && findings.length === 0)
const again = measurements.filter(({ origin }) => /played/.test(origin))
let worstDb = 0
for (const { setting, curve } of measurements) {
  const gainDbAt = equaliserOffLine(boards[setting])
  curve?.frequencyHz.forEach((f, i) => {
    worstDb = Math.max(worstDb, Math.abs(curve.gainDb[i] - gainDbAt(f)))
  })
}
const sorted = contactMs.sort((a, b) => a - b)
console.log(
  `${wanted - failed} of ${wanted} tests passed; ${complete.length} of ${2 * wanted} recordings complete, ${again.length} played again; ` +
    `off the plug-in by ${worstDb.toFixed(4)} dB at most; contact check ${sorted[sorted.length >> 1]?.toFixed(0)} ms (median), ` +
    `${sorted.at(-1)?.toFixed(0)} ms at most; ${secondsEach.toFixed(1)} s a test; check ${workshop.check().ok ? 'ok' : 'NOT ok'}`,
)
workshop.close()
await server.stop()
rmSync(folder, { recursive: true, force: true })
process.exit(failed === 0 && complete.length === 2 * wanted ? 0 : 1)
