import type { SampleSpan } from '../sweep/sweep-signal.ts'

/** One tone at one level, and the stretch of it that is read. */
export interface LadderStep extends SampleSpan {
  toneHz: number
  levelDbfs: number
  /** The part that is read: whole periods, clear of the fades and of what the step before left behind. */
  windowStart: number
}

/** The stimulus of the ladder: every tone at one level, then all of them at the next. */
export interface HardLadder {
  samples: Float64Array
  rateHz: number
  windowSamples: number
  /** In the order they are played: the loudest come last. */
  steps: LadderStep[]
}

/** What a ladder is made of; the same settings make the same samples anywhere. */
export interface LadderSettings {
  rateHz: number
  /** Moved to the nearest multiple of 5 Hz, so that the window holds whole periods. */
  tonesHz: readonly number[]
  levelsDbfs: readonly number[]
}

/** Length that is read, s: multiples of 5 Hz have whole periods in it, and neighbouring lines do not reach each other. */
const windowS = 0.2
/** Before the window: the fade, then time for coupling capacitors and filters to settle, s. */
const fadeS = 0.01
const settleS = 0.06
/** Behind the window, so that it needs to be placed to some milliseconds only, s. */
const afterS = 0.03
const silenceS = 0.3

/** The tone that is really played: a whole number of periods fits the window. */
const playedToneHz = (toneHz: number): number => Math.max(1, Math.round(toneHz * windowS)) / windowS

/**
 * Makes the ladder of tones. Levels rise, so that no quiet step stands in the recovery of a loud one.
 * @returns samples, full scale = 1
 */
export const makeHardLadder = ({ rateHz, tonesHz, levelsDbfs }: LadderSettings): HardLadder => {
  const samplesOf = (seconds: number) => Math.round(seconds * rateHz)
  const stepSamples = samplesOf(fadeS + settleS + windowS + afterS)
  const count = tonesHz.length * levelsDbfs.length
  const silence = samplesOf(silenceS)
  const samples = new Float64Array(2 * silence + count * stepSamples)
  const steps: LadderStep[] = levelsDbfs.flatMap((levelDbfs, row) =>
    tonesHz.map((toneHz, column) => {
      const startSample = silence + (row * tonesHz.length + column) * stepSamples
      const windowStart = startSample + samplesOf(fadeS + settleS)
      return { toneHz: playedToneHz(toneHz), levelDbfs, startSample, endSample: startSample + stepSamples, windowStart }
    }),
  )
  const fade = samplesOf(fadeS)
  for (const { toneHz, levelDbfs, startSample } of steps) {
    const amplitude = 10 ** (levelDbfs / 20)
    for (let i = 0; i < stepSamples; i++) {
      const edge = Math.min(1, Math.min(i, stepSamples - 1 - i) / fade)
      const rise = 0.5 - 0.5 * Math.cos(Math.PI * edge)
      samples[startSample + i] = amplitude * rise * Math.sin((2 * Math.PI * toneHz * i) / rateHz)
    }
  }
  return { samples, rateHz, windowSamples: samplesOf(windowS), steps }
}
