import { afterEach, expect, test, vi } from 'vitest'
import { fftSizeFrom, makeBins, realFft } from '../../src/response/transform/fft.ts'
import { uniformDraws } from './seeded-noise.ts'

afterEach(() => {
  vi.unstubAllGlobals()
  vi.resetModules()
})

const spectrumBy = (fft: typeof realFft, size: number) => {
  const draw = uniformDraws(size)
  const samples = Float64Array.from({ length: size }, () => draw() - 0.5)
  const bins = makeBins(size)
  fft(size).forward(samples, bins)
  return bins
}

test.each([
  ['where there is no WebAssembly', undefined],
  [
    'where a page forbids to compile it',
    {
      Module: class {
        constructor() {
          throw new Error('refused by policy')
        }
      },
    },
  ],
])('%s the plain code gives the same transform', async (_name, stub) => {
  const sizes = [64, 96, 4096, 6144].map(fftSizeFrom)
  const vector = sizes.map((size) => spectrumBy(realFft, size))
  vi.stubGlobal('WebAssembly', stub)
  vi.resetModules()
  const { realFft: plainFft } = await import('../../src/response/transform/fft.ts')
  expect(plainFft).not.toBe(realFft)
  sizes.forEach((size, i) => {
    const plain = spectrumBy(plainFft, size)
    // The same operations in another order of multiplication: some roundings apart.
    expect(Math.max(...plain.map((value, k) => Math.abs(value - vector[i][k])))).toBeLessThan(1e-12)
  })
})
