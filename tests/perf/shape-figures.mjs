// Figures of the whole-shape test through the whole chain: simulated rig, recording, measurement, verdict, file.
//   node tests/perf/shape-figures.mjs [boards] [references]     (600 and 6 unless told), on the built core
// Healthy boards against a reference as designed and against drawn ones; then boards with values that are off by a step of
// the drawer, which a band hardly sees.
import { mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { makeSweep, parseProduct } from '@boardwright/core'
import { makeSimulatedRig } from '@boardwright/core/audio'
import { exactProportionInterval } from '@boardwright/core/statistics'
import { openStore } from '@boardwright/core/store'
import { makeWorkshop } from '@boardwright/core/workshop'

const boards = Number(process.argv[2] ?? 600)
const references = Number(process.argv[3] ?? 6)
const source = fileURLToPath(new URL('../../shared/products/plover.json', import.meta.url))
const plover = parseProduct(readFileSync(source, 'utf8'))
const stimulus = { ...plover.testPlan.stimulus, durationS: 1, silenceBeforeS: 0.1, silenceAfterS: 0.4 }
const product = { ...plover, testPlan: { ...plover.testPlan, stimulus } }
const sweep = makeSweep(stimulus)
const folder = mkdtempSync(join(tmpdir(), 'boardwright-shape-'))

async function record({ serial, seed, spread, faults = [], settings = ['max', 'min'] }) {
  const quick = { speed: Number.POSITIVE_INFINITY, clip: false, boardNoise: false, noiseDbfs: -94 }
  const rig = makeSimulatedRig({ ...quick, product, seed, spread, faultsOf: () => faults })
  const recordings = []
  for (const setting of settings) recordings.push({ setting, ...(await rig.run({ serial, setting, sweep })) })
  return recordings
}

async function openShop(name, reference) {
  const workshop = makeWorkshop({ store: openStore(join(folder, name), { create: true }), station: 'figures' })
  workshop.addProduct(product)
  const recordings = await record({ serial: name, settings: ['max', 'min', 'centre'], ...reference })
  workshop.addReference({ recordings, sweep })
  return { workshop, tally: { shape: 0, other: 0, repeat: 0 } }
}

function visit({ workshop, tally }, serial, recordings) {
  const { run } = workshop.recordTestRun({ serial, rig: 'simulated', recordings, sweep })
  if (run.judgement.shape?.verdict === 'fail') tally.shape++
  if (run.judgement.reasons.some(({ code, verdict }) => verdict === 'fail' && code !== 'shape')) tally.other++
  if (run.verdict === 'repeat') tally.repeat++
}

const limits = (hits, trials) => {
  const { lower, upper } = exactProportionInterval({ successes: hits, trials, confidence: 0.95 })
  const percent = (x) => `${(100 * x).toFixed(2)} %`
  return `${hits} of ${trials}, ${percent(hits / trials)} (${percent(lower)} to ${percent(upper)})`
}

const shops = [await openShop('as-designed', { spread: 'none', seed: 1 })]
for (let r = 1; r <= references; r++) shops.push(await openShop(`drawn-${r}`, { seed: 77 }))
for (let i = 0; i < boards; i++) {
  const recordings = await record({ serial: `PLV-${i}`, seed: 1000 })
  for (const shop of shops) visit(shop, `PLV-${i}`, recordings)
}
const sum = (list, key) => list.reduce((total, { tally }) => total + tally[key], 0)
const drawn = shops.slice(1)
process.stdout.write(`Healthy boards failed by their shape, reference as designed: ${limits(sum([shops[0]], 'shape'), boards)}
The same against ${references} drawn references: ${limits(sum(drawn, 'shape'), boards * references)}
Failed by anything else: ${limits(sum(shops, 'other'), boards * shops.length)}; repeat: ${sum(shops, 'repeat')}\n`)

const steps = [
  ['C7', '27 nF'],
  ['C7', '39 nF'],
  ['C8', '27 nF'],
  ['C9', '3.9 nF'],
  ['R5', '11 kohm'],
  ['C5', '4.7 uF'],
  ['C6', '150 pF'],
]
for (const [designator, value] of steps) {
  const shop = { workshop: shops[0].workshop, tally: { shape: 0, other: 0, repeat: 0 } }
  const faults = [{ kind: 'value', designator, value }]
  for (let i = 0; i < 20; i++) visit(shop, `F-${designator}-${i}`, await record({ serial: `F${i}`, seed: 9, faults }))
  const { shape, other } = shop.tally
  process.stdout.write(`${designator} ${value}: of 20 boards the shape fails ${shape}, everything else ${other}\n`)
}
for (const { workshop } of shops) workshop.close()
rmSync(folder, { recursive: true })
