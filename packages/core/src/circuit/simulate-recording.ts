import type { ControlPositions } from '../model/circuit.ts'
import { BoardwrightError } from '../model/error.ts'
import type { Product } from '../model/product.ts'
import { fftSizeFrom, makeBins, realFft } from '../response/transform/fft.ts'
import type { Board } from './draw-board.ts'
import { largeSignal } from './large-signal.ts'
import { linearRecording } from './linear-recording.ts'
import { outputNoiseOf } from './noise.ts'
import { operatingPointOf } from './operating-point.ts'
import { RandomSource, seedOf } from './random.ts'

export type SimulationOptions = {
  product: Product
  board: Board
  /** Name of the setting, as in the product. */
  setting: string
  /** What is played, full scale = 1: the level follows from the test plan's `levelV` and `stimulus.levelDbfs`. */
  sweepSamples: Float64Array
  rateHz: number
  /** Noise of the interface, dBFS (a full-scale sine is 0 dB); none when left out. */
  noiseDbfs?: number
  /** Hum with its second and third harmonic 10 and 6 dB below. */
  hum?: { hz: number; levelDbfs: number }
  /** False takes the op-amps as linear whatever the level; true (the default) lets them clip and slew. */
  clip?: boolean
  /** Noise of the board itself (true). */
  boardNoise?: boolean
  /** Seed of the noise; the board's own when left out. */
  seed?: number
}

/**
 * What the rig would record from a board: the sweep through the circuit, with the circuit's own noise, the interface's noise
 * and hum. Samples at full scale 1; they may go beyond ±1, where a real interface clips.
 *
 * @throws BoardwrightError `setting-unknown`
 */
export const simulateRecording = (options: SimulationOptions): Float64Array => {
  const { product, board, sweepSamples, rateHz, clip = true, boardNoise = true } = options
  const positions = positionsOf(product, options.setting)
  const fullScaleV = fullScaleOf(product)
  const { netlist } = board
  const operatingPoint = operatingPointOf({ netlist, values: board.values, positions })
  const input = sweepSamples.map((x) => x * fullScaleV)
  const circuit = { netlist, values: operatingPoint.values, positions, input, rateHz }
  const output = clip
    ? largeSignal({ netlist, values: board.values, operatingPoint, positions, input, rateHz })
    : linearRecording(circuit)
  const random = new RandomSource(seedOf(options.seed ?? board.seed, `noise ${options.setting}`))
  if (boardNoise) addBoardNoise(output, { ...circuit, random })
  for (let i = 0; i < output.length; i++) output[i] /= fullScaleV
  addInterfaceNoise(output, options, random)
  return output
}

/** Where the controls stand at a named setting. Throws `setting-unknown`. */
export const positionsOf = (product: Pick<Product, 'settings'>, setting: string): ControlPositions => {
  const found = product.settings.find((s) => s.name === setting)
  if (found) return found.positions
  const known = product.settings.map((s) => s.name).join(', ')
  throw new BoardwrightError('setting-unknown', `No setting is called "${setting}"; there are: ${known}.`)
}

/** Voltage at the board that full scale of the interface stands for, V. */
export const fullScaleOf = ({ testPlan }: Pick<Product, 'testPlan'>): number =>
  testPlan.levelV / 10 ** (testPlan.stimulus.levelDbfs / 20)

const addInterfaceNoise = (output: Float64Array, options: SimulationOptions, random: RandomSource) => {
  const { noiseDbfs, hum, rateHz } = options
  // A full-scale sine has an r.m.s. value of 1/√2.
  if (noiseDbfs !== undefined) {
    const rms = 10 ** (noiseDbfs / 20) * Math.SQRT1_2
    for (let i = 0; i < output.length; i++) output[i] += rms * random.normal()
  }
  if (!hum) return
  const start = 2 * Math.PI * random.uniform()
  const peak = 10 ** (hum.levelDbfs / 20)
  for (let i = 0; i < output.length; i++) {
    const phase = start + (2 * Math.PI * hum.hz * i) / rateHz
    output[i] += peak * (Math.sin(phase) + 0.316 * Math.sin(2 * phase + 1) + 0.501 * Math.sin(3 * phase + 2))
  }
}

type NoiseOptions = Parameters<typeof linearRecording>[0] & { random: RandomSource }

/** White noise shaped to the circuit's noise density. */
const addBoardNoise = (output: Float64Array, options: NoiseOptions) => {
  const { rateHz, random } = options
  const size = fftSizeFrom(output.length)
  const points = 60
  const top = Math.log(rateHz / 2)
  const frequencyHz = Array.from({ length: points + 1 }, (_, i) => Math.exp((top * i) / points))
  const { density } = outputNoiseOf({ ...options, frequencyHz })
  const white = Float64Array.from({ length: size }, () => random.normal())
  const fft = realFft(size)
  const bins = makeBins(size)
  fft.forward(white, bins)
  for (let k = 0; k <= size / 2; k++) {
    const place = Math.min(points, Math.max(0, (points * Math.log(Math.max(1, (k * rateHz) / size))) / top))
    const below = Math.min(points - 1, Math.floor(place))
    const at = density[below] + (place - below) * (density[below + 1] - density[below])
    // A density of d V/√Hz over half the rate is what white noise of d·√(rate/2) r.m.s. has.
    const scale = at * Math.sqrt(rateHz / 2)
    bins[2 * k] *= scale
    bins[2 * k + 1] *= scale
  }
  fft.inverse(bins, white)
  for (let i = 0; i < output.length; i++) output[i] += white[i]
}
