import { readdirSync, readFileSync } from 'node:fs'
import { drawBoard } from '../../src/circuit/draw-board.ts'
import type { Fault } from '../../src/circuit/fault.ts'
import { simulateCurve } from '../../src/diagnosis/simulate-reading.ts'
import { parseProduct } from '../../src/model/parse-product.ts'
import type { Product } from '../../src/model/product.ts'
import type { SettingMeasurement } from '../../src/model/test-run.ts'

const circuits = new URL('../../../../tests/circuits/', import.meta.url)

/** A textbook circuit of tests/circuits by its file name. */
export const textbook = (name: string): Product => parseProduct(readFileSync(new URL(`${name}.json`, circuits), 'utf8'))

export const textbookNames = (): string[] =>
  readdirSync(circuits)
    .filter((file) => file.endsWith('.json'))
    .map((file) => file.replace('.json', ''))
    .sort()

/** A measurement with nothing but a curve. */
export const measured = (setting: string, curve: SettingMeasurement['curve']): SettingMeasurement => ({
  setting,
  usable: curve !== null,
  findings: [],
  origin: 'test',
  rateHz: 48_000,
  delayS: 0,
  polarity: 1,
  gainAt1kHzDb: 0,
  curve,
  distortion: null,
  noise: null,
})

/** What the rig would say of a drawn board with faults. */
export const benchFor = (product: Product, seed: number, faults: readonly Fault[]) => {
  const board = drawBoard({ product, seed, faults })
  const sweep = (setting: string, node?: string) =>
    measured(setting, simulateCurve({ product, board, setting, node, levelDb: 0.05, delayS: 1e-5, seed }))
  return { board, sweep, sweeps: (settings: readonly string[]) => settings.map((s) => sweep(s)) }
}
