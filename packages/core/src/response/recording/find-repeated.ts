import type { SampleSpan } from '../sweep/sweep-signal.ts'

/** A block of samples that stands in the recording twice. */
export interface RepeatedBlock {
  startSample: number
  /** Distance to its first appearance, samples. */
  lag: number
  length: number
}

/** Shortest block, and furthest distance. Source: shared AUDIO.md, "Finding a glitch", 2. */
const shortestBlock = 32
const furthestLag = 8192
/** A block must span this many steps: what moves less repeats by itself. */
const leastSteps = 32
/** Without noise, a block must differ from its neighbour a cycle away by this many steps at least. */
const tellingSteps = 4
const hashBits = 16

/**
 * Finds an exact repeat of a block of samples within a sweep: a buffer that was played or stored twice. Noise makes such
 * a repeat impossible; in a recording without any (simulated, or a few bits) a slow wave can repeat itself for a while,
 * so there the block must be longer: long enough for the sweep to have moved on by several steps.
 * @param options.step the step of the samples
 * @param options.noiseRms noise in the silences, full scale = 1
 * @param options.sweepRateSamples L of the sweep in samples: its phase bends by pi length / L from one cycle to the next
 */
export function findRepeatedBlock(options: {
  samples: Float64Array
  span: SampleSpan
  step: number
  noiseRms: number
  sweepRateSamples: number
}): RepeatedBlock | null {
  const { samples, span } = options
  const table = new Int32Array(1 << hashBits).fill(-1)
  const hashes = new Int32Array(1 << hashBits)
  const factor = 0x9e3779b1 | 0
  let leaving = 1
  for (let i = 0; i < shortestBlock; i++) leaving = Math.imul(leaving, factor)
  const wordAt = (i: number) => (samples[i] * 16_777_216) | 0
  let hash = 0
  for (let i = span.startSample; i < span.endSample; i++) {
    hash = (Math.imul(hash, factor) + wordAt(i)) | 0
    const start = i - shortestBlock + 1
    if (start < span.startSample) continue
    if (start > span.startSample) hash = (hash - Math.imul(leaving, wordAt(start - 1))) | 0
    const slot = (hash ^ (hash >>> 15)) & ((1 << hashBits) - 1)
    const other = table[slot]
    if (other >= 0 && hashes[slot] === hash && start - other <= furthestLag) {
      const block = provenBlock({ ...options, start, lag: start - other })
      if (block) return block
    }
    table[slot] = start
    hashes[slot] = hash
  }
  return null
}

/** The whole block around a match, or null when it is too short or too flat to prove anything. */
function provenBlock(options: {
  samples: Float64Array
  span: SampleSpan
  step: number
  noiseRms: number
  sweepRateSamples: number
  start: number
  lag: number
}): RepeatedBlock | null {
  const { samples, span, step, start, lag } = options
  const same = (i: number) => samples[i] === samples[i - lag]
  let from = start
  while (from > span.startSample + lag && same(from - 1)) from--
  let to = start
  while (to < span.endSample && same(to)) to++
  const length = to - from
  if (length < shortestBlock) return null
  let high = Number.NEGATIVE_INFINITY
  let low = Number.POSITIVE_INFINITY
  for (let i = from; i < to; i++) {
    if (samples[i] > high) high = samples[i]
    if (samples[i] < low) low = samples[i]
  }
  const heightSteps = (high - low) / step
  if (heightSteps < leastSteps) return null
  const noisy = options.noiseRms > 0.7 * step
  const bendSteps = (0.5 * heightSteps * Math.PI * length) / options.sweepRateSamples
  return noisy || bendSteps >= tellingSteps ? { startSample: from, lag, length } : null
}
