// Time of one diagnosis, warm: the whole dictionary at three settings, the fits, the probabilities, and the next checks.
import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { drawBoard } from '../../packages/core/src/circuit/draw-board.ts'
import { diagnose, prepareProduct } from '../../packages/core/src/diagnosis/diagnose.ts'
import { simulateCurve } from '../../packages/core/src/diagnosis/simulate-reading.ts'
import { parseProduct } from '../../packages/core/src/model/parse-product.ts'
import type { SettingMeasurement } from '../../packages/core/src/model/test-run.ts'

const folder = process.env.PERF_FOLDER ?? import.meta.dirname
const product = parseProduct(readFileSync(join(folder, '../../shared/products/plover.json'), 'utf8'))

const processorMs = (work: () => unknown): number => {
  const start = process.cpuUsage()
  work()
  const used = process.cpuUsage(start)
  return (used.user + used.system) / 1000
}
const median = (values: number[]): number => [...values].sort((a, b) => a - b)[values.length >> 1]

const measure = (index: number, hypotheses: ReturnType<typeof prepareProduct>['hypotheses']): SettingMeasurement[] => {
  const { fault } = hypotheses[(index * 7919 + 13) % hypotheses.length].hypothesis
  const board = drawBoard({ product, seed: index + 1, faults: fault ? [fault] : [] })
  return ['max', 'min', 'centre'].map((setting) => ({
    setting,
    usable: true,
    findings: [],
    origin: 'perf',
    rateHz: 48_000,
    delayS: 0,
    polarity: 1,
    gainAt1kHzDb: 0,
    curve: simulateCurve({ product, board, setting }),
    distortion: null,
    noise: null,
  }))
}

let hypotheses: ReturnType<typeof prepareProduct>['hypotheses'] = []
const prepared = processorMs(() => {
  ;({ hypotheses } = prepareProduct(product))
})
const boards = Array.from({ length: 40 }, (_, i) => measure(i, hypotheses))
const first = processorMs(() => diagnose({ product, measurements: boards[0], checks: 0 }))
const bare = boards.map((measurements) => processorMs(() => diagnose({ product, measurements, checks: 0 }))).slice(10)
const whole = boards.map((measurements) => processorMs(() => diagnose({ product, measurements })))
const row = (name: string, oursMs: number, more: object) =>
  process.stdout.write(`${JSON.stringify({ name, oursMs, ...more })}\n`)
row('diagnosis of a board, 3 settings', median(bare), { note: `limit 100 ms; ${hypotheses.length} hypotheses` })
row('the same with the next checks', median(whole), {})
row('the first board of a process', first, { note: 'compiling and resting points included' })
row('preparing a product', prepared, { note: 'once per process' })
