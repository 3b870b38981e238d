import type { Setting } from '../model/product.ts'
import { gridFrequenciesHz } from '../response/curve/grid.ts'
import { compileCircuit } from './compile.ts'
import type { Netlist } from './netlist.ts'
import { angular, gainDbOf, responseOf } from './response.ts'
import { type DrawOptions, drawValues } from './tolerance-draw.ts'

/** Gains of many healthy boards at one setting. */
export type CloudSetting = {
  setting: string
  /** Gain of the circuit as designed, dB. */
  nominalDb: Float64Array
  /** Gain of each board less that of the circuit as designed, dB: board after board, each over the grid. */
  deviationDb: Float64Array
}

/** Healthy boards drawn with their parts' tolerances, the same boards at every setting. */
export type ToleranceCloud = {
  boards: number
  frequencyHz: Float64Array
  settings: CloudSetting[]
}

/** Every fourth point of the measuring grid, 20 Hz to 20 kHz: fine enough for what the spread of parts does. */
export const toleranceGridHz: Float64Array = Float64Array.from(gridFrequenciesHz.filter((_, i) => i % 4 === 0))

/**
 * Draws boards and solves each at every setting.
 *
 * @param options `settings` to be solved; `frequencyHz` (the tolerance grid); `boards` (1000) and how they are drawn
 */
export const drawCloud = (
  options: Omit<DrawOptions, 'boards'> & {
    settings: readonly Pick<Setting, 'name' | 'positions'>[]
    boards?: number
    frequencyHz?: ArrayLike<number>
  },
): ToleranceCloud => {
  const { netlist, settings, boards = 1000 } = options
  const frequencyHz = Float64Array.from(options.frequencyHz ?? toleranceGridHz)
  const values = drawValues({ ...options, boards })
  return {
    boards,
    frequencyHz,
    settings: settings.map(({ name, positions }) => ({
      setting: name,
      nominalDb: gainDbOf(responseOf({ netlist, positions, frequencyHz })),
      deviationDb: solveBoards(netlist, values, positions, frequencyHz),
    })),
  }
}

const solveBoards = (
  netlist: Netlist,
  values: readonly Float64Array[],
  positions: Setting['positions'],
  frequencyHz: Float64Array,
): Float64Array => {
  const circuit = compileCircuit(netlist)
  const { run } = circuit.program('output')
  const shares = circuit.shares(positions)
  const omega = angular(frequencyHz)
  const n = omega.length
  const voltages = new Float64Array(2 * n * values.length)
  const table = new Float64Array(circuit.equations.list.primitives.length)
  values.forEach((v, b) => {
    run(circuit.primitives(v, shares, table), omega, voltages, 2 * n * b)
  })
  const nominal = new Float64Array(2 * n)
  run(circuit.primitives(netlist.nominal, shares, table), omega, nominal, 0)
  const nominalPower = Float64Array.from({ length: n }, (_, i) => nominal[2 * i] ** 2 + nominal[2 * i + 1] ** 2)
  const deviationDb = new Float64Array(n * values.length)
  for (let k = 0, i = 0; k < deviationDb.length; k++) {
    const power = voltages[2 * k] * voltages[2 * k] + voltages[2 * k + 1] * voltages[2 * k + 1]
    // One logarithm of the ratio; 10 log10(x) = 10/ln 10 · ln x.
    deviationDb[k] = 4.342944819032518 * Math.log(power / nominalPower[i])
    i = i + 1 === n ? 0 : i + 1
  }
  return deviationDb
}
