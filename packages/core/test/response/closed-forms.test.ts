import { describe, expect, test } from 'vitest'
import { gridFrequenciesHz } from '../../src/response/curve/grid.ts'
import { measureRecording } from '../../src/response/curve/measure-recording.ts'
import { minimumPhase } from '../../src/response/curve/minimum-phase.ts'
import { makeSweep } from '../../src/response/sweep/sweep.ts'
import { fftSizeFrom, makeBins, realFft } from '../../src/response/transform/fft.ts'
import { asAudio, defaultSweep } from './default-sweep.ts'

interface Complex {
  re: number
  im: number
}
const over = (a: Complex, b: Complex): Complex => {
  const power = b.re ** 2 + b.im ** 2
  return { re: (a.re * b.re + a.im * b.im) / power, im: (a.im * b.re - a.re * b.im) / power }
}

/** Analogue circuits in closed form (textbook voltage dividers); s = j 2 pi f. */
const circuits: Record<string, (f: number) => Complex> = {
  // Series R, shunt C: 1 / (1 + s R C), 10 kohm and 10 nF: 1592 Hz.
  'RC low-pass 1.6 kHz': (f) => over({ re: 1, im: 0 }, { re: 1, im: 2 * Math.PI * f * 1e4 * 1e-8 }),
  // Series C, shunt R: s R C / (1 + s R C), 100 nF and 100 kohm: 15.9 Hz, a coupling capacitor.
  'RC high-pass 16 Hz': (f) => {
    const x = 2 * Math.PI * f * 1e5 * 1e-7
    return over({ re: 0, im: x }, { re: 1, im: x })
  },
  // Series L and C into R: s R C / (1 + s R C + s^2 L C): 1 H, 22 nF, 1 kohm: 1073 Hz, Q = sqrt(L/C) / R = 6.7.
  'RLC band-pass, Q 6.7': (f) => {
    const w = 2 * Math.PI * f
    return over({ re: 0, im: w * 1e3 * 22e-9 }, { re: 1 - w * w * 22e-9, im: w * 1e3 * 22e-9 })
  },
  // Loaded pickup: L = 4 H, R = 8 kohm, C = 500 pF, 500 kohm across: second order, 3.6 kHz.
  'pickup with cable': (f) => {
    const w = 2 * Math.PI * f
    const r = 8e3 / 5e5
    return over({ re: 1, im: 0 }, { re: 1 + r - w * w * 4 * 5e-10, im: w * (8e3 * 5e-10 + 4 / 5e5) })
  },
}

/** Sends samples through a response given at every frequency. */
const through = (samples: Float64Array, response: (f: number) => Complex, rateHz: number): Float64Array => {
  const size = fftSizeFrom(samples.length + 2 * rateHz)
  const bins = makeBins(size)
  realFft(size).forward(samples, bins)
  for (let k = 0; k <= size / 2; k++) {
    const h = response((k * rateHz) / size)
    const [re, im] = [bins[2 * k], bins[2 * k + 1]]
    bins[2 * k] = re * h.re - im * h.im
    bins[2 * k + 1] = re * h.im + im * h.re
  }
  const out = new Float64Array(size)
  realFft(size).inverse(bins, out)
  return out.slice(0, samples.length)
}

describe.each(Object.entries(circuits))('%s', (_name, response) => {
  const rateHz = 96_000
  const sweep = makeSweep({ ...defaultSweep, rateHz })
  const { curve, delayS } = measureRecording({
    sweep,
    recording: asAudio(rateHz, through(sweep.samples, response, rateHz)),
  })

  test('gain within 0.01 dB, phase within 0.1 degree beyond the stated delay', () => {
    curve?.frequencyHz.forEach((f, i) => {
      const h = response(f)
      expect(Math.abs(curve.gainDb[i] - 20 * Math.log10(Math.hypot(h.re, h.im))), `${f} Hz`).toBeLessThan(0.01)
      const degrees = curve.phaseDeg[i] - 360 * f * delayS - (Math.atan2(h.im, h.re) * 180) / Math.PI
      expect(Math.abs(degrees - 360 * Math.round(degrees / 360)), `${f} Hz`).toBeLessThan(0.1)
    })
  })

  test('the delay that is taken out is less than a tenth of a millisecond: the circuit has none', () => {
    expect(Math.abs(delayS)).toBeLessThan(2e-5)
  })
})

test('minimum phase of an RC low-pass by gain alone is -atan(f / fc) (closed form)', () => {
  const logGain = Float64Array.from(gridFrequenciesHz, (f) => -0.5 * Math.log(1 + (f / 600) ** 2))
  const phase = minimumPhase(logGain)
  gridFrequenciesHz.forEach((f, i) => {
    // The curve is taken as level beyond the grid, which costs a few degrees towards its end.
    if (f > 30 && f < 2000) expect(Math.abs(phase[i] + Math.atan(f / 600)) * (180 / Math.PI)).toBeLessThan(4)
  })
})
