// Figures of the diagnosis on drawn boards: `npm run bench:diagnosis [boards] [seed]` (2000 and 2026 unless told), on the
// built core. Each product is studied in a process of its own; the same seed gives the same tables.
import { execFile } from 'node:child_process'
import { fileURLToPath } from 'node:url'
import { promisify } from 'node:util'
import { exactProportionInterval } from '@boardwright/core/statistics'
import { loadProducts, studyFaults, studyHealthy, studyOutside, studySoftFaults } from './diagnosis-study.mjs'

const boards = Number(process.argv[2] ?? 2000)
const seed = Number(process.argv[3] ?? 2026)
const only = process.argv[4]
const products = loadProducts()
/** Half the boards are the demo product's, the rest shared among the textbook circuits. */
const shareOf = (product) =>
  Math.ceil(boards * (product.id === 'plover' ? 0.5 : 0.5 / Math.max(1, products.length - 1)))

const study = (product) => {
  const count = shareOf(product)
  const { records, drawn, gross, grossShown } = studyFaults({ product, boards: count, seed })
  const outside = studyOutside({ product, boards: Math.ceil(count / 5), seed }).records
  const brief = ({ truth, group, topProbability, topBlame, none, named, made, groupParts, kind, band, shape, id }) => {
    return { truth, group, topProbability, topBlame, none, named, made, groupParts, kind, band, shape, id }
  }
  return {
    id: product.id,
    drawn,
    gross,
    grossShown,
    records: records.map(brief),
    outside: outside.map(({ kind, none, top, blame, half }) => ({ kind, none, top, blame, half })),
    healthy: studyHealthy({ product, boards: count, seed }),
    soft: studySoftFaults({ product }),
  }
}

const percent = (x) => `${(100 * x).toFixed(1)} %`
/** A rate with its Clopper-Pearson limits (95 %). */
const rate = (list, test) => {
  const trials = list.length
  if (trials === 0) return 'none'
  const successes = list.filter(test).length
  const { lower, upper } = exactProportionInterval({ successes, trials, confidence: 0.95 })
  return `${percent(successes / trials)} (${percent(lower)} to ${percent(upper)}) of ${trials}`
}
const tally = (successes, trials) => rate(Array.from({ length: trials }), (_, i) => i < successes)

const print = (name, { records, drawn, gross, grossShown, outside, healthy }) => {
  const surely = records.filter((r) => r.topProbability >= 0.9)
  const parts = records.filter((r) => (r.topBlame?.probability ?? 0) >= 0.9)
  const mean = (pick) => (records.reduce((sum, r) => sum + pick(r), 0) / records.length).toFixed(2)
  const lines = [
    ['failing boards (of those drawn with a fault)', `${records.length} of ${drawn}`],
    ['true fault in the first group            (>= 85 %)', rate(records, (r) => r.group === 0)],
    ['in the first three groups                (>= 97 %)', rate(records, (r) => r.group >= 0 && r.group < 3)],
    ['parts named by the first group, mean', mean((r) => r.groupParts)],
    ['first part named is the true one', rate(records, (r) => r.topBlame?.key === r.truth)],
    ['named to the true part after <= 3 checks (>= 95 %)', rate(records, (r) => r.named?.key === r.truth)],
    ['  and with 90 % or more', rate(records, (r) => r.named?.key === r.truth && r.named.probability >= 0.9)],
    ['checks made, mean', mean((r) => r.made)],
    ['right among groups given >= 90 %         (>= 88 %)', rate(surely, (r) => r.group === 0)],
    ['right among parts given >= 90 %          (>= 88 %)', rate(parts, (r) => r.topBlame.key === r.truth)],
    ['outside: none, or no part above 50 %     (>= 80 %)', rate(outside, (r) => r.none >= 0.5 || r.blame < 0.5)],
    ['outside: none, or no group above 50 %', rate(outside, (r) => r.none >= 0.5 || r.top < 0.5)],
    [
      'outside, two faults: one of them named',
      rate(
        outside.filter((r) => r.kind === 'two'),
        (r) => r.half && r.none < 0.5,
      ),
    ],
    ['healthy boards failed by the shape       (<= 1 %)', tally(healthy.shape, healthy.boards)],
    ['healthy boards failed by the plain band', tally(healthy.band, healthy.boards)],
    ['gross faults that show, passed by shape  (<= 0.1 %)', tally(grossShown.shape, grossShown.boards)],
    ['gross faults that show, passed by the plain band', tally(grossShown.band, grossShown.boards)],
    ['all gross faults, passed by the shape', tally(gross.shape, gross.boards)],
    ['all gross faults, passed by the plain band', tally(gross.band, gross.boards)],
  ]
  console.log(`\n${name}`)
  for (const [what, value] of lines) console.log(`  ${what.padEnd(54)} ${value}`)
  for (const kind of [...new Set(outside.map((r) => r.kind))].sort())
    console.log(
      `  ${`outside, ${kind}`.padEnd(54)} ${rate(
        outside.filter((r) => r.kind === kind),
        (r) => r.none >= 0.5 || r.blame < 0.5,
      )}`,
    )
}

const printReliability = (records) => {
  console.log('\nReliability: how often a part given such a probability is the one')
  for (const [low, high] of [
    [0, 0.3],
    [0.3, 0.5],
    [0.5, 0.7],
    [0.7, 0.9],
    [0.9, 0.99],
    [0.99, 1.01],
  ]) {
    const within = records.filter((r) => r.topBlame && r.topBlame.probability >= low && r.topBlame.probability < high)
    console.log(`  ${`${low} to ${Math.min(1, high)}`.padEnd(14)} ${rate(within, (r) => r.topBlame.key === r.truth)}`)
  }
}

const printSoft = ({ id, soft }) => {
  const said = (x) => (x === null ? 'unseen' : `${x > 0 ? '+' : ''}${(100 * x).toFixed(0)} %`)
  console.log(`\nSmallest value error found with 90 % power, ${id} (gain and phase; "unseen": not even tenfold)`)
  for (const { designator, up, down } of soft)
    console.log(`  ${designator.padEnd(6)} ${said(up).padStart(8)} ${said(down).padStart(8)}`)
}

if (only) {
  console.log(JSON.stringify(study(products.find((p) => p.id === only))))
} else {
  const run = promisify(execFile)
  const queue = products.map((p) => p.id)
  const results = []
  const work = async () => {
    for (let id = queue.shift(); id; id = queue.shift()) {
      const args = [fileURLToPath(import.meta.url), String(boards), String(seed), id]
      const { stdout } = await run(process.execPath, args, { maxBuffer: 2 ** 28 })
      results.push(JSON.parse(stdout))
    }
  }
  await Promise.all([work(), work()])
  results.sort((a, b) => queue.indexOf(a.id) - queue.indexOf(b.id) || a.id.localeCompare(b.id))
  for (const result of results) print(result.id, result)
  const sum = (pick) => results.reduce((total, r) => total + pick(r), 0)
  const add = (key) => ({
    boards: sum((r) => r[key].boards),
    band: sum((r) => r[key].band),
    shape: sum((r) => r[key].shape),
  })
  const records = results.flatMap((r) => r.records)
  print('all circuits', {
    records,
    drawn: sum((r) => r.drawn),
    gross: add('gross'),
    grossShown: add('grossShown'),
    outside: results.flatMap((r) => r.outside),
    healthy: add('healthy'),
  })
  printReliability(records)
  for (const result of results) printSoft(result)
}
