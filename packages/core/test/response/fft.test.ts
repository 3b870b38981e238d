import { expect, test } from 'vitest'
import { fftSizeFrom, makeBins, realFft } from '../../src/response/transform/fft.ts'
import { uniformDraws } from './seeded-noise.ts'

const noise = (count: number) => {
  const draw = uniformDraws(count)
  return Float64Array.from({ length: count }, () => draw() - 0.5)
}

test.each([16, 24, 32, 48, 64, 96, 128, 192, 384, 768])('%d samples: equal to the definition', (size) => {
  const samples = noise(size)
  const bins = makeBins(size)
  realFft(size).forward(samples, bins)
  for (let k = 0; k <= size / 2; k++) {
    let re = 0
    let im = 0
    for (let i = 0; i < size; i++) {
      re += samples[i] * Math.cos((2 * Math.PI * k * i) / size)
      im -= samples[i] * Math.sin((2 * Math.PI * k * i) / size)
    }
    // Rounding grows with the sum: 1e-12 is a thousand times the spacing of doubles here.
    expect(bins[2 * k]).toBeCloseTo(re, 11)
    expect(bins[2 * k + 1]).toBeCloseTo(im, 11)
  }
})

test.each([2 ** 17, 3 * 2 ** 16, 2 ** 18])('%d samples come back, with the same energy (Parseval)', (size) => {
  const samples = noise(size - 3)
  const bins = makeBins(size)
  const back = new Float64Array(size)
  realFft(size).forward(samples, bins)
  let energy = (bins[0] ** 2 + bins[size] ** 2) / size
  for (let k = 1; k < size / 2; k++) energy += (2 * (bins[2 * k] ** 2 + bins[2 * k + 1] ** 2)) / size
  realFft(size).inverse(bins, back)
  expect(energy / samples.reduce((sum, v) => sum + v * v, 0)).toBeCloseTo(1, 12)
  expect(Math.max(...samples.map((v, i) => Math.abs(v - back[i])).subarray(0, 50_000))).toBeLessThan(1e-14)
  expect([...back.subarray(size - 3)].every((v) => Math.abs(v) < 1e-14)).toBe(true)
})

test('sizes are the next 2^a or 3 * 2^a', () => {
  expect([1, 16, 17, 24, 25, 33, 97, 192_600].map(fftSizeFrom)).toEqual([16, 16, 24, 24, 32, 48, 128, 196_608])
})
