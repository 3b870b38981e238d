// Speed figures: `npm run bench:perf`. Every *.perf.ts here is a part: it is bundled from source, run in a process of its
// own, and prints one JSON row per figure: { name, oursMs, otherMs?, other?, limit?, note? }. Nothing is asserted here.
import { execFileSync } from 'node:child_process'
import { mkdirSync, readdirSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'

const here = dirname(fileURLToPath(import.meta.url))
const root = join(here, '../..')
const out = join(root, 'node_modules/.cache/perf')
mkdirSync(out, { recursive: true })

const only = process.argv[2]
const parts = readdirSync(here).filter((name) => name.endsWith('.perf.ts') && (!only || name.startsWith(only)))
const tsup = join(root, 'node_modules/tsup/dist/cli-default.js')
const rows = []
for (const part of parts) {
  const source = join(here, part)
  execFileSync(
    process.execPath,
    [tsup, source, '--no-config', '--format', 'esm', '--target', 'node20', '--out-dir', out, '--silent'],
    { cwd: root, stdio: ['ignore', 'ignore', 'inherit'] },
  )
  const bundle = join(out, part.replace(/\.ts$/, '.mjs'))
  const bundled = readdirSync(out).includes(part.replace(/\.ts$/, '.mjs')) ? bundle : bundle.replace(/mjs$/, 'js')
  const text = execFileSync(process.execPath, [bundled], {
    encoding: 'utf8',
    env: { ...process.env, PERF_FOLDER: here },
    stdio: ['ignore', 'pipe', 'inherit'],
    maxBuffer: 2 ** 24,
  })
  for (const line of text.split('\n'))
    if (line.startsWith('{')) rows.push({ part: part.replace('.perf.ts', ''), ...JSON.parse(line) })
}

const number = (value, digits = 2) => (value === undefined || value === null ? '' : value.toFixed(digits))
const cells = [
  ['part', 'what', 'ours ms', 'other ms', 'ratio', 'aim', 'note'],
  ...rows.map((row) => [
    row.part,
    row.name,
    number(row.oursMs),
    row.otherMs ? `${number(row.otherMs)} (${row.other})` : '',
    row.otherMs ? number(row.oursMs / row.otherMs) : '',
    row.limit === undefined ? '' : `<= ${row.limit}`,
    row.note ?? '',
  ]),
]
const widths = cells[0].map((_, column) => Math.max(...cells.map((row) => row[column].length)))
for (const row of cells)
  console.log(
    row
      .map((cell, column) => cell.padEnd(widths[column]))
      .join('  ')
      .trimEnd(),
  )
