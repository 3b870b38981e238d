import { makeSweep, type Product, readWave, writeWave } from '@boardwright/core'

/** Uniform numbers in 0 to 1 that are the same on every run (mulberry32, public domain). */
function seeded(seed: number): () => number {
  let state = seed
  return () => {
    state = (state + 0x6d2b79f5) | 0
    let t = Math.imul(state ^ (state >>> 15), 1 | state)
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296
  }
}

/**
 * The WAV file that a rig would record of a board of gain 2: the sweep times two, a little noise and, for a bad board,
 * its treble cut above `cornerHz` (one pole).
 */
export function board(what: { product: Product; noiseSeed: number; cornerHz?: number; stereo?: boolean }): Buffer {
  const { product, noiseSeed, cornerHz, stereo } = what
  const sweep = makeSweep(product.testPlan.stimulus)
  const random = seeded(noiseSeed)
  const share = cornerHz === undefined ? 1 : 1 - Math.exp((-2 * Math.PI * cornerHz) / sweep.rateHz)
  let low = 0
  const response = sweep.samples.map((sample) => {
    low += share * (2 * sample - low)
    return low + 2e-5 * (random() - 0.5)
  })
  const channels = stereo ? [sweep.samples, response] : [response]
  return Buffer.from(writeWave({ rateHz: sweep.rateHz, channels, format: 'pcm24' }))
}

/** One run of the reference board at the settings of the test plan and at centre, which the mirror check needs. */
export const reference = (what: { product: Product; noiseSeed: number }) =>
  [...what.product.testPlan.settings, 'centre'].map((setting, i) => ({
    setting,
    audio: readWave(board({ ...what, noiseSeed: what.noiseSeed + 100 * i })),
    origin: `reference-${setting}.wav`,
  }))
