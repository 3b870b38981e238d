import type { ControlPositions } from '../model/circuit.ts'
import { fftSizeFrom, makeBins, realFft } from '../response/transform/fft.ts'
import type { Netlist } from './netlist.ts'
import { type ComplexCurve, responseOf } from './response.ts'

/** Time left for the circuit to calm down before the transform wraps round, s: several times the bias network's. */
export const settleS = 3

/**
 * Sends a signal through the exact small-signal response of a circuit.
 *
 * @param options `input` in volts at `rateHz`; `values` must be those for small signals (see `operatingPointOf`)
 * @returns output in volts, as long as the input
 */
export const linearRecording = (options: {
  netlist: Netlist
  values?: Float64Array
  positions: ControlPositions
  input: Float64Array
  rateHz: number
}): Float64Array => {
  const { input, rateHz } = options
  const size = fftSizeFrom(input.length + settleS * rateHz)
  const response = responseOf({ ...options, frequencyHz: binFrequencies(size, rateHz) })
  return filterByResponse(input, response, size)
}

/** Frequencies of the bins of a transform. Bin 0 stands a millihertz up: at zero a capacitor's neighbours have no voltage. */
export const binFrequencies = (size: number, rateHz: number): Float64Array =>
  Float64Array.from({ length: size / 2 + 1 }, (_, k) => Math.max(1e-3, (k * rateHz) / size))

/** Multiplies the spectrum of a signal by a response given at the bins of a transform of `size`. */
export const filterByResponse = (input: Float64Array, response: ComplexCurve, size: number): Float64Array => {
  const fft = realFft(size)
  const bins = makeBins(size)
  fft.forward(input, bins)
  const { re, im } = response
  for (let k = 0; k <= size / 2; k++) {
    // The first and the last bin of a real signal are real.
    const turn = k === 0 || k === size / 2 ? 0 : im[k]
    const x = bins[2 * k]
    bins[2 * k] = x * re[k] - bins[2 * k + 1] * turn
    bins[2 * k + 1] = x * turn + bins[2 * k + 1] * re[k]
  }
  const whole = new Float64Array(size)
  fft.inverse(bins, whole)
  return whole.slice(0, input.length)
}
