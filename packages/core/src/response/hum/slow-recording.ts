/** A recording at a low rate: enough for what hums, and quick to look through. */
export interface SlowRecording {
  rateHz: number
  samples: Float64Array
  /** Time of the first slow sample, s from the start of the recording. */
  startS: number
  /** Amplitude with which a frequency comes through (1 at 0 Hz). */
  gainAt: (frequencyHz: number) => number
}

/** About this rate is left: hum is read up to a fifth of it, and what folds over onto that comes 50 dB weaker. */
const slowRateHz = 8000
/** Moving means one after the other. */
const passes = 4

/** Coefficients of `passes` moving means over `factor` samples each. */
const meanTaps = (factor: number): Float64Array => {
  let taps = Float64Array.of(1)
  for (let pass = 0; pass < passes; pass++) {
    const wider = new Float64Array(taps.length + factor - 1)
    for (let i = 0; i < taps.length; i++) for (let j = 0; j < factor; j++) wider[i + j] += taps[i] / factor
    taps = wider
  }
  return taps
}

/**
 * Takes a recording down to about 8 kHz, without its mean.
 * Source: moving means in cascade (Hogenauer, IEEE Trans. ASSP 29, 1981), as one filter.
 */
export const slowRecording = (options: { samples: Float64Array; rateHz: number }): SlowRecording => {
  const { samples, rateHz } = options
  const factor = Math.max(1, Math.floor(rateHz / slowRateHz))
  const taps = meanTaps(factor)
  const count = Math.max(0, Math.floor((samples.length - taps.length) / factor) + 1)
  const slow = new Float64Array(count)
  let total = 0
  const half = (taps.length - 1) / 2
  for (let i = 0, at = half; i < count; i++, at += factor) {
    let sum = taps[half] * samples[at]
    // The taps are the same on both sides.
    for (let j = 1; j <= half; j++) sum += taps[half + j] * (samples[at - j] + samples[at + j])
    slow[i] = sum
    total += sum
  }
  const mean = count > 0 ? total / count : 0
  for (let i = 0; i < count; i++) slow[i] -= mean
  return {
    rateHz: rateHz / factor,
    samples: slow,
    startS: half / rateHz,
    gainAt: (f) => {
      const turn = (Math.PI * f) / rateHz
      return turn === 0 ? 1 : (Math.sin(factor * turn) / (factor * Math.sin(turn))) ** passes
    },
  }
}
