import { describe, expect, it } from 'vitest'
import { drawBoard } from '../../src/circuit/draw-board.ts'
import { operatingPointOf } from '../../src/circuit/operating-point.ts'
import { gainDbOf, responseOf } from '../../src/circuit/response.ts'
import { fullScaleOf, positionsOf, simulateRecording } from '../../src/circuit/simulate-recording.ts'
import { makeSweep } from '../../src/response/sweep/sweep.ts'
import { fftSizeFrom, makeBins, realFft } from '../../src/response/transform/fft.ts'
import { plover } from './read-product.ts'

const stimulus = { ...plover.testPlan.stimulus, durationS: 2, silenceAfterS: 2, markers: false }
const sweep = makeSweep(stimulus)
const board = drawBoard({ product: plover, seed: 42 })
const record = (options: Partial<Parameters<typeof simulateRecording>[0]> = {}) =>
  simulateRecording({
    product: plover,
    board,
    setting: 'max',
    sweepSamples: sweep.samples,
    rateHz: sweep.rateHz,
    boardNoise: false,
    ...options,
  })

/** Spectrum of the recording over that of the sweep, near some frequencies: plain division, no analysis of ours. */
const dividedDb = (recording: Float64Array, frequencyHz: number[]): number[] => {
  const size = fftSizeFrom(recording.length)
  const [y, x] = [makeBins(size), makeBins(size)]
  realFft(size).forward(recording, y)
  realFft(size).forward(sweep.samples, x)
  return frequencyHz.map((f) => {
    const k = Math.round((f * size) / sweep.rateHz)
    return 10 * Math.log10((y[2 * k] ** 2 + y[2 * k + 1] ** 2) / (x[2 * k] ** 2 + x[2 * k + 1] ** 2))
  })
}
const nearest = (f: number) => {
  const size = fftSizeFrom(sweep.samples.length)
  return (Math.round((f * size) / sweep.rateHz) * sweep.rateHz) / size
}
const peakOf = (x: Float64Array) => x.reduce((most, v) => Math.max(most, Math.abs(v)), 0)
const rms = (x: Float64Array) => Math.sqrt(x.reduce((s, v) => s + v * v, 0) / x.length)

describe('a simulated recording', () => {
  it.each(['max', 'min', 'centre', 'bass-only', 'treble-only'])(
    'at %s holds the response of the board, 0.01 dB from 20 Hz to 20 kHz',
    (setting) => {
      const positions = positionsOf(plover, setting)
      const { values } = operatingPointOf({ netlist: board.netlist, values: board.values, positions })
      const frequencyHz = [25, 40, 100, 400, 1000, 3000, 10_000, 15_000, 19_500].map(nearest)
      const expected = gainDbOf(responseOf({ netlist: board.netlist, values, positions, frequencyHz }))
      const recovered = dividedDb(record({ setting }), frequencyHz)
      recovered.forEach((db, i) => {
        expect(Math.abs(db - expected[i])).toBeLessThan(0.01)
      })
    },
  )

  it('does not change in shape with the level while no limit is met', () => {
    const quiet = record({ sweepSamples: sweep.samples.map((x) => x / 100) })
    const loud = record()
    expect(peakOf(loud.map((x, i) => x - 100 * quiet[i]))).toBeLessThan(1e-9)
  })

  it('is mapped so that the level of the test plan is the level of the sweep file', () => {
    // levelV at the board is levelDbfs at the interface.
    expect(fullScaleOf(plover) * 10 ** (plover.testPlan.stimulus.levelDbfs / 20)).toBeCloseTo(
      plover.testPlan.levelV,
      12,
    )
  })

  it('has the interface noise that was asked for (AES17: a full-scale sine reads 0 dB)', () => {
    const difference = record({ noiseDbfs: -80 }).map((x, i) => x - clean[i])
    expect(20 * Math.log10(rms(difference) * Math.SQRT2)).toBeCloseTo(-80, 1)
  })
  it('has the hum that was asked for', () => {
    const difference = record({ hum: { hz: 50, levelDbfs: -60 } }).map((x, i) => x - clean[i])
    expect(peakOf(difference)).toBeGreaterThan(1e-3)
    expect(peakOf(difference)).toBeLessThan(1.9e-3)
  })
  it('has the noise of the board: its level at max is that of the noise analysis, 10 to 60 µV', () => {
    const difference = record({ boardNoise: true }).map((x, i) => x - clean[i])
    const volts = rms(difference) * fullScaleOf(plover)
    expect(volts).toBeGreaterThan(10e-6)
    expect(volts).toBeLessThan(60e-6)
  })
  it('clips when driven far too hard, unless told to be linear', () => {
    const loud = { sweepSamples: sweep.samples.map((x) => x * 20) }
    const peak = (x: Float64Array) => peakOf(x) * fullScaleOf(plover)
    expect(peak(record(loud))).toBeLessThan(6)
    expect(peak(record({ ...loud, clip: false }))).toBeGreaterThan(30)
  })
  it('is the same for the same seed and differs for others', () => {
    const noisy = (seed: number) => record({ noiseDbfs: -80, seed }).slice(0, 50)
    expect(noisy(1)).toEqual(noisy(1))
    expect(noisy(1)).not.toEqual(noisy(2))
  })
  it('of an unknown setting is refused', () => {
    expect(() => record({ setting: 'loud' })).toThrow('No setting is called "loud"')
  })
})

const clean = record()
