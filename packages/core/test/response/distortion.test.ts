import { describe, expect, test } from 'vitest'
import { measureRecording } from '../../src/response/curve/measure-recording.ts'
import { makeSweep } from '../../src/response/sweep/sweep.ts'
import { asAudio, defaultSweep } from './default-sweep.ts'
import { addNoise, shifted } from './known-filter.ts'

/**
 * Harmonics of a polynomial a1 x + a2 x^2 + ... driven by A cos(wt): powers of a cosine as sums of cosines.
 * Source: trigonometric identities cos^n = 2^(1-n) sum C(n, i) cos((n - 2i) wt) (shared check 04-O07).
 */
const harmonicsOf = (coefficients: number[], amplitude: number): number[] => {
  const choose = (n: number, k: number): number => (k === 0 ? 1 : (choose(n, k - 1) * (n - k + 1)) / k)
  const levels = new Array<number>(coefficients.length + 1).fill(0)
  coefficients.forEach((coefficient, i) => {
    const n = i + 1
    for (let k = 0; 2 * k < n; k++) levels[n - 2 * k] += coefficient * amplitude ** n * 2 ** (1 - n) * choose(n, k)
  })
  return levels
}

test('the identities give the values of check 04-O07', () => {
  const levels = harmonicsOf([1, 0.1, 0.05], 1)
  expect(levels.slice(1)).toEqual([1.0375, 0.05, 0.0125].map((v) => expect.closeTo(v, 12)))
})

const coefficients = [1, 0.1, 0.05, 0.03, 0.04]

describe.each([48_000, 96_000])('a polynomial of order 5 at %d Hz', (rateHz) => {
  const sweep = makeSweep({ ...defaultSweep, rateHz })
  const amplitude = 10 ** (defaultSweep.levelDbfs / 20)
  const levels = harmonicsOf(coefficients, amplitude)
  const distorted = shifted(
    sweep.samples.map((x) => coefficients.reduceRight((sum, c) => (sum + c) * x, 0)),
    777,
  )

  test.each([{ snrDb: 200 }, { snrDb: 100 }])(
    'harmonics 2 to 5 within 0.1 dB ($snrDb dB signal-to-noise)',
    ({ snrDb }) => {
      const recording = addNoise({ recording: distorted, sweep, offsetSamples: 777, snrDb, seed: 5 })
      const { distortion } = measureRecording({ sweep, recording: asAudio(rateHz, recording) })
      if (!distortion) throw new Error('no distortion')
      distortion.frequencyHz.forEach((f, i) => {
        // Sampling folds the polynomial's products: order m stands at rate - m f and crosses harmonic k at rate / (k + m).
        const isCrossed = (order: number) => [2, 3, 4, 5].some((m) => Math.abs((f * (order + m)) / rateHz - 1) < 0.03)
        for (const order of [2, 3, 4, 5]) {
          if (isCrossed(order)) continue
          const level = distortion.orders[order][i]
          const expected = 20 * Math.log10(Math.abs(levels[order] / levels[1]))
          if (order * f > 20_000) expect(level).toBeNull()
          else expect(Math.abs((level ?? 0) - expected), `harmonic ${order} of ${f} Hz`).toBeLessThan(0.1)
        }
        if (5 * f > 20_000 || [2, 3, 4, 5].some(isCrossed)) return
        const thd = (100 * Math.hypot(...levels.slice(2))) / levels[1]
        expect(Math.abs(distortion.thdPercent[i] / thd - 1), `THD at ${f} Hz`).toBeLessThan(0.012)
      })
    },
  )
})

test('a clean path reads no distortion but the noise', () => {
  const sweep = makeSweep(defaultSweep)
  const recording = addNoise({ recording: sweep.samples, sweep, offsetSamples: 0, snrDb: 60, seed: 9 })
  const { distortion } = measureRecording({ sweep, recording: asAudio(48_000, recording) })
  // Noise of 0.1 % over the whole band is spread over far more bandwidth than one window lets in.
  for (const thd of distortion?.thdPercent ?? [1]) expect(thd).toBeLessThan(0.05)
  for (const order of ['2', '3', '4', '5']) {
    for (const level of distortion?.orders[order] ?? [0]) if (level !== null) expect(level).toBeLessThan(-60)
  }
})
