import { humAmplitude } from '../hum/find-hum.ts'
import type { SampleSpan } from '../sweep/sweep-signal.ts'
import { slowestHz } from './recording-spans.ts'
import type { RecordingView } from './recording-view.ts'
import { heightOf } from './wave-height.ts'

/** A block of samples that stands in the recording twice. */
export interface RepeatedBlock {
  startSample: number
  /** Distance to its first appearance, samples. */
  lag: number
  length: number
}

/**
 * Shortest block. Source: shared AUDIO.md, "Finding a glitch", 2. The furthest distance keeps clear of the next repeat of the
 * sweep, which in a recording without noise is a copy.
 */
const shortestBlock = 32
const furthestLag = 65_536
/** Noise repeats itself with a probability of less than e to minus this: damage. */
const leastEvidence = 28
/**
 * Without noise, a block must span this many steps, and differ from what the wave did then by so many at least: by the
 * bend of its phase after whole cycles, or, within the greater part of a cycle, because the wave is elsewhere.
 */
const leastSteps = 8
const leastBentSteps = 32
const tellingSteps = 4
/** A block from a top to the next bottom hides two thirds of its bend. */
const tellingBendSteps = 8
const furthestTurn = 1.7 * Math.PI
/** A wave goes on smoothly where it begins to repeat itself: no step larger than its others by this many of the samples' steps. */
const gentleSteps = 4
const hashBits = 17

interface RepeatOptions {
  view: RecordingView
  span: SampleSpan
  /** The step of the samples, full scale = 1. */
  step: number
  /** How unlikely each equal sample is; see `evidencePerSample`. */
  evidence: number
}

/**
 * Finds an exact repeat of a block of samples within a sound: a buffer that was played or stored twice. Noise makes such a
 * repeat impossible; in a recording without any (simulated, or a few bits) a slow wave can repeat itself after whole
 * cycles for a while, so there the sweep must have moved on by several steps.
 */
export function findRepeatedBlock(options: RepeatOptions): RepeatedBlock | null {
  const { span } = options
  const { samples } = options.view
  const table = new Int32Array(1 << hashBits).fill(-1)
  const hashes = new Int32Array(1 << hashBits)
  const factor = 0x9e3779b1 | 0
  let leaving = 1
  for (let i = 0; i < shortestBlock; i++) leaving = Math.imul(leaving, factor)
  const wordAt = (i: number) => (samples[i] * 16_777_216) | 0
  let hash = 0
  let known = -1
  const body = options.view.sweep.bodies[0]
  const furthest = Math.min(furthestLag, (body.endSample - body.startSample) >> 1)
  const first = Math.max(0, span.startSample - furthest)
  for (let i = first; i < span.endSample; i++) {
    hash = (Math.imul(hash, factor) + wordAt(i)) | 0
    const start = i - shortestBlock + 1
    if (start < first) continue
    if (start > first) hash = (hash - Math.imul(leaving, wordAt(start - 1))) | 0
    const slot = (hash ^ (hash >>> 15)) & ((1 << hashBits) - 1)
    const other = table[slot]
    if (
      other >= 0 &&
      hashes[slot] === hash &&
      start > Math.max(known, span.startSample) &&
      start - other <= furthestLag
    ) {
      const block = wholeBlock({ samples, span, start, lag: start - other })
      if (block && isProof(options, block)) return block
      // A rest of the wave is one block with itself: it is asked about once.
      if (block) known = block.startSample + block.length - shortestBlock
    }
    table[slot] = start
    hashes[slot] = hash
  }
  return null
}

/** The whole block around a match; null when the samples differ after all. */
function wholeBlock(options: { samples: Float64Array; span: SampleSpan; start: number; lag: number }) {
  const { samples, span, start, lag } = options
  const same = (i: number) => samples[i] === samples[i - lag]
  let from = start
  while (from > span.startSample + lag && same(from - 1)) from--
  let to = start
  while (to < span.endSample && same(to)) to++
  return to - from < shortestBlock ? null : { startSample: from, lag, length: to - from }
}

/** Whether neither noise nor the sweep itself can have repeated a block. */
function isProof({ view, step, evidence }: RepeatOptions, block: RepeatedBlock): boolean {
  const { sweep } = view
  const { startSample, length, lag } = block
  if (length * evidence >= leastEvidence) {
    const { high, low } = heightOf(view.samples, startSample, startSample + length)
    return high - low >= leastSteps * step
  }
  if (startsWithJump(view.samples, block, gentleSteps * step)) return true
  // A hum repeats itself for ever, and may make up for what the sweep moves: only the rest of it proves anything.
  const { withoutHum, hum } = view.measured
  const samples = withoutHum ?? view.samples
  const byHum = hum ? 2 * humAmplitude(hum) : 0
  const { high, low } = heightOf(samples, startSample, startSample + length)
  // A copy of the copy: only as much as one distance is new.
  const own = Math.min(length, lag)
  const turn = (2 * Math.PI * slowestHz(view, startSample)) / sweep.rateHz
  // The sweep's pace: from one cycle to the next its phase bends by pi length / L.
  const rateSamples = (sweep.rateS ?? sweep.settings.durationS) * sweep.rateHz
  const bend = (0.5 * (high - low) * Math.PI * own) / rateSamples
  if (high - low >= leastBentSteps * step && bend >= tellingBendSteps * step + byHum) return true
  if (high - low < leastSteps * step || lag * turn > furthestTurn) return false
  const reach = Math.round((2 * Math.PI) / turn)
  const around = heightOf(samples, startSample - reach, startSample + length + reach)
  // A sine less itself some time before is a sine of twice its height times sin(turn / 2), zero in the block's middle at worst.
  const shift = Math.abs(Math.sin(0.5 * lag * turn)) * Math.sin(Math.min(Math.PI / 2, 0.5 * own * turn))
  return (around.high - around.low) * shift >= tellingSteps * step + byHum
}

/** Whether the samples jump into a block, or out of it, by more than they move anywhere in it. */
function startsWithJump(samples: Float64Array, block: RepeatedBlock, steps: number): boolean {
  const { startSample, length } = block
  const end = Math.min(samples.length - 1, startSample + length)
  const movement = (i: number) => Math.abs(samples[i] - samples[i - 1])
  let steepest = 0
  for (let i = startSample + 1; i < end; i++) steepest = Math.max(steepest, movement(i))
  return startSample > 0 && Math.max(movement(startSample), movement(end)) > steepest + steps
}
