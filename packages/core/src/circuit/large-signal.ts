import type { ControlPositions } from '../model/circuit.ts'
import { fftSizeFrom, makeBins, realFft } from '../response/transform/fft.ts'
import { compileCircuit } from './compile.ts'
import { binFrequencies, linearRecording, settleS } from './linear-recording.ts'
import { type Netlist, parameterIndex } from './netlist.ts'
import type { OperatingPoint } from './operating-point.ts'
import { downsample, paddedSize, upsample } from './resample.ts'
import { angular, type ComplexCurve, pick } from './response.ts'
import { transientNetwork } from './transient-network.ts'
import { type AmplifierLaw, runTransient } from './transient-run.ts'

export type LargeSignalOptions = {
  netlist: Netlist
  values: Float64Array
  operatingPoint: OperatingPoint
  positions: ControlPositions
  /** Signal at the source, V. */
  input: Float64Array
  rateHz: number
}

/** Lowest rate at which the time steps are taken, Hz: harmonics 2 to 5 are then within 0.1 dB of those at 3 MHz. */
const leastStepRateHz = 180_000

/**
 * Sends a signal through a circuit whose op-amps have a limited swing and slew rate.
 *
 * The exact small-signal response carries the linear part; the time steps only add what the limits change, as the difference
 * of two runs of the same rule with and without limits. So the rule's own error does not touch the linear part, and a signal
 * that meets no limit is not stepped at all.
 *
 * @returns output, V, as long as the input
 */
export const largeSignal = (options: LargeSignalOptions): Float64Array => {
  const { netlist, values, operatingPoint, positions, input, rateHz } = options
  const linearValues = linearised(netlist, values, operatingPoint)
  const laws = lawsOf(netlist, values, operatingPoint)
  if (!operatingPoint.amplifiers.some((a) => a.saturated) && staysWithin(options, linearValues, laws))
    return linearRecording({ netlist, values: linearValues, positions, input, rateHz })
  const times = 2 ** Math.max(0, Math.ceil(Math.log2(leastStepRateHz / rateHz)))
  // The steps end with the input, so this transform needs no room for the circuit to calm down.
  const size = fftSizeFrom(input.length)
  const stepS = 1 / (rateHz * times)
  const network = transientNetwork({ netlist, values: linearValues, positions, stepS })
  const whole = upsample(input, times, size)
  const fine = whole.subarray(0, input.length * times)
  const limited = runTransient(network, laws, fine, stepS, true)
  const free = runTransient(network, laws, fine, stepS, false)
  whole.fill(0)
  for (let i = 0; i < limited.length; i++) whole[i] = limited[i] - free[i]
  const change = downsample(whole, times, size)
  const output = linearRecording({ netlist, values: linearValues, positions, input, rateHz })
  for (let i = 0; i < output.length; i++) output[i] += change[i]
  return output
}

/** Diodes as they conduct at rest, op-amps with the gain they have. */
const linearised = (netlist: Netlist, values: Float64Array, operatingPoint: OperatingPoint): Float64Array =>
  values.map((value, i) => (netlist.parameters[i].kind === 'conductance' ? operatingPoint.values[i] : value))

const lawsOf = (netlist: Netlist, values: Float64Array, operatingPoint: OperatingPoint): AmplifierLaw[] =>
  netlist.elements.flatMap((element) => {
    if (element.kind !== 'op-amp') return []
    const { designator, nodes, slewRate } = element
    const value = (kind: string) => values[parameterIndex(netlist, `${designator}.${kind}`)]
    const rest = operatingPoint.amplifiers.find((a) => a.designator === designator)
    if (!rest) return []
    const unityRad = 2 * Math.PI * value('gainBandwidth')
    const differenceV = operatingPoint.nodeV[nodes[0]] - operatingPoint.nodeV[nodes[1]]
    const second = value('secondPole')
    return [
      {
        unityRad,
        poleRad: unityRad / value('openLoopGain'),
        secondS: Number.isFinite(second) ? 1 / (2 * Math.PI * second) : 0,
        slewVs: slewRate,
        lowV: Math.min(0, rest.lowV - rest.internalV),
        highV: Math.max(0, rest.highV - rest.internalV),
        pushVs: rest.saturated ? unityRad * differenceV : 0,
      },
    ]
  })

/** Share of a limit up to which a signal counts as free of it. */
const nearLimit = 0.95

/**
 * True when no op-amp comes near its swing or slew rate, by the exact small-signal response. Judged by the envelope, so that
 * no peak between two samples is missed.
 */
const staysWithin = (options: LargeSignalOptions, values: Float64Array, laws: readonly AmplifierLaw[]): boolean => {
  const { netlist, positions, input, rateHz } = options
  const circuit = compileCircuit(netlist, { values })
  const size = paddedSize(input.length, rateHz, settleS)
  const omega = angular(binFrequencies(size, rateHz))
  const { run, stride } = circuit.program('drives')
  const records = new Float64Array(stride * omega.length)
  run(circuit.primitives(values, circuit.shares(positions)), omega, records, 0)
  const spectrum = makeBins(size)
  realFft(size).forward(input, spectrum)
  return laws.every(({ lowV, highV, slewVs }, k) => {
    const { re, im } = pick(records, stride, 2 + 2 * k)
    const most = nearLimit * Math.min(highV, -lowV)
    if (envelopePeak(spectrum, { re, im }, size) > most) return false
    const rate = { re: im.map((x, i) => -omega[i] * x), im: re.map((x, i) => omega[i] * x) }
    return envelopePeak(spectrum, rate, size) < nearLimit * slewVs
  })
}

/** Largest value of the envelope (the magnitude of the analytic signal) of a filtered signal. */
const envelopePeak = (spectrum: Float64Array, { re, im }: ComplexCurve, size: number): number => {
  const bins = makeBins(size)
  const quadrature = makeBins(size)
  // The mean and the bin at half the rate have no quadrature.
  for (let k = 1; k < size / 2; k++) {
    const x = spectrum[2 * k] * re[k] - spectrum[2 * k + 1] * im[k]
    const y = spectrum[2 * k] * im[k] + spectrum[2 * k + 1] * re[k]
    bins[2 * k] = x
    bins[2 * k + 1] = y
    quadrature[2 * k] = y
    quadrature[2 * k + 1] = -x
  }
  const a = new Float64Array(size)
  const b = new Float64Array(size)
  realFft(size).inverse(bins, a)
  realFft(size).inverse(quadrature, b)
  let peak = 0
  for (let i = 0; i < size; i++) peak = Math.max(peak, a[i] * a[i] + b[i] * b[i])
  return Math.sqrt(peak)
}
