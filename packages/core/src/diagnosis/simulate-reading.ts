import type { Board } from '../circuit/draw-board.ts'
import { operatingPointOf } from '../circuit/operating-point.ts'
import { RandomSource, seedOf } from '../circuit/random.ts'
import { gainDbOf, nodeResponseOf, phaseDegOf, responseOf } from '../circuit/response.ts'
import { positionsOf } from '../circuit/simulate-recording.ts'
import type { Product } from '../model/product.ts'
import type { ResponseCurve } from '../model/response-curve.ts'
import { gridFrequenciesHz } from '../response/curve/grid.ts'

/** Noise of a simulated curve. `noiseDb` also gives the phase its noise: a complex number is as uncertain one way as the other. */
export type SimulatedReadingOptions = {
  product: Pick<Product, 'settings'>
  board: Board
  setting: string
  /** A node to probe; the output when left out. */
  node?: string
  noiseDb?: number
  /** Level of the rig against its calibration, dB, and pure delay left in the phase, s. */
  levelDb?: number
  delayS?: number
  seed?: number
}

/**
 * The curve a perfect rig would measure on a drawn board, with white noise: for studies of the diagnosis on thousands of
 * boards. `simulateRecording` is the same with real samples.
 *
 * @throws BoardwrightError `setting-unknown`, `bad-circuit`
 */
export const simulateCurve = (options: SimulatedReadingOptions): ResponseCurve => {
  const { product, board, setting, node, noiseDb = 0.05, levelDb = 0, delayS = 0 } = options
  const positions = positionsOf(product, setting)
  const { netlist } = board
  const { values } = operatingPointOf({ netlist, values: board.values, positions })
  const frequencyHz = gridFrequenciesHz
  const asked = { netlist, values, positions, frequencyHz }
  const response = node === undefined ? responseOf(asked) : nodeResponseOf({ ...asked, node })
  const random = new RandomSource(seedOf(options.seed ?? board.seed, `curve ${setting} ${node ?? ''}`))
  const noiseDeg = (noiseDb * Math.LN10) / 20 / (Math.PI / 180)
  return {
    frequencyHz: [...frequencyHz],
    gainDb: Array.from(gainDbOf(response), (x) => x + levelDb + noiseDb * random.normal()),
    phaseDeg: Array.from(
      phaseDegOf(response),
      (x, i) => x - 360 * frequencyHz[i] * delayS + noiseDeg * random.normal(),
    ),
    uncertaintyDb: frequencyHz.map(() => noiseDb),
  }
}
