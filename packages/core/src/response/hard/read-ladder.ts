import type { Finding } from '../../model/finding.ts'
import type { HardStep } from '../../model/hard-signature.ts'
import { recordingFinding } from '../recording/recording-finding.ts'
import { findLadder } from './find-ladder.ts'
import type { HardLadder, LadderStep } from './hard-ladder.ts'
import { toneHarmonics, wrapDeg } from './tone-harmonics.ts'

/** Samples this near to full scale are at it, and so many of them are no peak that just fits. */
const fullScale = 1 - 1.5 / 32768
const leastAtFullScale = 3
/** A tone this little above its noise is none, dB. */
const leastAboveNoiseDb = 10
/** Between the two halves of a window a steady tone turns and changes by less than this. */
const steadyDeg = 6
const steadyDb = 0.6
const leastSteadySize = 1e-3

export interface LadderReading {
  findings: Finding[]
  steps: HardStep[]
}

const refuse = (code: Finding['code'], message: string, remedy?: string): LadderReading => ({
  findings: [recordingFinding({ code, severity: 'refuse', message, remedy })],
  steps: [],
})

/**
 * Reads the ladder of tones from a recording.
 *
 * @param options.samples the response channel, full scale = 1
 * @param options.fullScaleOutV what full scale stands for at the board's input, and `fullScaleInV` at its output, V (peak)
 * @returns one reading a step, or the finding that refuses the recording
 */
export function readLadder(options: {
  ladder: HardLadder
  samples: Float64Array
  rateHz: number
  fullScaleOutV: number
  fullScaleInV: number
}): LadderReading {
  const { ladder, samples, rateHz } = options
  if (rateHz !== ladder.rateHz)
    return refuse('wrong-rate', `The tones were played at ${ladder.rateHz} Hz, the recording has ${rateHz} Hz.`)
  const found = findLadder({ ladder, samples })
  if (!found) return refuse('sweep-not-found', 'The tones are nowhere in the recording.', silentRemedy)
  const { offsetSamples } = found
  const last = ladder.steps[ladder.steps.length - 1]
  if (offsetSamples + ladder.steps[0].startSample < 0 || offsetSamples + last.endSample > samples.length)
    return refuse('cut-off', 'The recording does not hold all tones of the ladder.')
  const windowOf = ({ windowStart }: LadderStep) =>
    samples.subarray(offsetSamples + windowStart, offsetSamples + windowStart + ladder.windowSamples)
  const clipped = ladder.steps.find((step) => atFullScale(windowOf(step)) >= leastAtFullScale)
  if (clipped)
    return refuse('clipped', clippedWords(clipped), 'Turn down the input of the interface, then press again.')
  for (const step of ladder.steps)
    if (!isSteady(windowOf(step), cyclesOf(step, ladder))) return refuse('block-damaged', brokenWords(step, rateHz))
  const steps = ladder.steps.map((step) => readStep(step, windowOf(step), cyclesOf(step, ladder), options))
  if (steps.some((one) => isLost(one)))
    return refuse('silent', 'The tones hardly stand out of the noise.', silentRemedy)
  return { findings: [], steps }
}

const silentRemedy = 'Check the battery of the board, the pogo pins and the input of the interface, then press again.'
const clippedWords = (step: LadderStep) =>
  `The recorder clips at ${step.toneHz} Hz and ${step.levelDbfs.toFixed(1)} dBFS, so the board's own clipping cannot be seen.`
const brokenWords = (step: LadderStep, rateHz: number) =>
  `The tone of ${step.toneHz} Hz breaks ${(step.startSample / rateHz).toFixed(1)} s from the start: a block was lost or a contact moved.`

const cyclesOf = (step: LadderStep, ladder: HardLadder): number =>
  Math.round((step.toneHz * ladder.windowSamples) / ladder.rateHz)

function atFullScale(part: Float64Array): number {
  let count = 0
  let peak = 0
  for (const value of part) {
    const size = Math.abs(value)
    if (size >= fullScale) count++
    if (size > peak) peak = size
  }
  // Above full scale stands only what a file of floating-point samples kept: that is not clipped.
  return peak > 1 ? 0 : count
}

/** A block that was lost within a window turns the tone between its halves; one that turns it by whole periods does no harm. */
function isSteady(part: Float64Array, cycles: number): boolean {
  if (cycles < 4) return true
  const samplesPerCycle = part.length / cycles
  const wholeCycles = Math.floor(cycles / 2)
  const span = Math.round(wholeCycles * samplesPerCycle)
  const later = part.length - span
  const first = toneOf(part.subarray(0, span), wholeCycles)
  const second = toneOf(part.subarray(later), wholeCycles)
  // A tone that is hardly louder than noise is judged by its level, not here.
  if (first.size < leastSteadySize) return true
  const turnDeg = Math.abs(wrapDeg(second.deg - first.deg - (360 * later) / samplesPerCycle))
  return turnDeg <= steadyDeg && Math.abs(20 * Math.log10(second.size / first.size)) <= steadyDb
}

function toneOf(part: Float64Array, cycles: number): { size: number; deg: number } {
  let [re, im] = [0, 0]
  for (let i = 0; i < part.length; i++) {
    const angle = (2 * Math.PI * cycles * i) / part.length
    const weighted = part[i] * (1 - Math.cos((2 * Math.PI * i) / part.length))
    re += weighted * Math.cos(angle)
    im -= weighted * Math.sin(angle)
  }
  return { size: (2 * Math.hypot(re, im)) / part.length, deg: (Math.atan2(im, re) * 180) / Math.PI }
}

const isLost = ({ harmonics }: HardStep): boolean =>
  harmonics.length > 0 && harmonics.every((one) => one.noiseDb > -leastAboveNoiseDb)

/** Digits that are kept: what is judged is what is stored. */
const round = (value: number): number => Math.round(value * 1e4) / 1e4

function readStep(
  step: LadderStep,
  part: Float64Array,
  cycles: number,
  { fullScaleOutV, fullScaleInV }: { fullScaleOutV: number; fullScaleInV: number },
): HardStep {
  const tone = toneHarmonics({ samples: part, cycles })
  const inputV = 10 ** (step.levelDbfs / 20) * fullScaleOutV
  return {
    toneHz: step.toneHz,
    inputV: Number(inputV.toPrecision(6)),
    gainDb: round(20 * Math.log10((Math.max(tone.amplitude, 1e-10) * fullScaleInV) / inputV)),
    thdPercent: round(tone.thdPercent),
    highV: round(tone.high * fullScaleInV),
    lowV: round(tone.low * fullScaleInV),
    harmonics: tone.harmonics.map(({ order, levelDb, phaseDeg, noiseDb }) => ({
      order,
      levelDb: round(levelDb),
      phaseDeg: round(phaseDeg),
      noiseDb: round(noiseDb),
    })),
  }
}
