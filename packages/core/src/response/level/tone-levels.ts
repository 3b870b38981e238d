/** Amplitude of one tone in a recording, full scale = 1, and of the noise at the same place. */
export interface ToneLevel {
  frequencyHz: number
  amplitude: number
  noiseAmplitude: number
}

/** Length over which a tone is weighed, s: its line is then 8 Hz wide to either side. */
const toneWindowS = 0.25
/** How far the window moves while the tone is looked for, s. */
const stepS = 0.01
/** Part of the greatest power from which on the window counts as filled with the tone. */
const filledPart = 0.9
/** Where the noise beside a tone is read, Hz: clear of its line; the median passes over lines of hum. */
const besideHz = [-34, -28, -22, -16, 16, 22, 28, 34]

/**
 * Levels of steady tones in a recording, wherever they begin: the window is put where all of them together are strongest.
 * Tones must lie 50 Hz apart or more and be at least `toneWindowS` long.
 *
 * @param options.samples full scale = 1
 * @returns peak amplitudes; `atS` is where the window begins. A recording that is too short has none.
 * Source: Hann window, F. J. Harris, Proc. IEEE 66(1), 1978 (from memory): zeros from the second bin on.
 */
export const toneLevels = (options: {
  samples: Float64Array
  rateHz: number
  frequencyHz: readonly number[]
}): { atS: number; tones: ToneLevel[] } | null => {
  const { samples, rateHz, frequencyHz } = options
  const length = Math.round(toneWindowS * rateHz)
  if (samples.length < length) return null
  const window = Float64Array.from(
    { length },
    (_, i) => (2 - 2 * Math.cos((2 * Math.PI * (i + 0.5)) / length)) / length,
  )
  const reading = { samples, window, rateHz }
  const step = Math.round(stepS * rateHz)
  const starts = Array.from({ length: Math.floor((samples.length - length) / step) + 1 }, (_, i) => i * step)
  const powers = starts.map((start) =>
    frequencyHz.reduce((sum, f) => sum + amplitudeAt({ ...reading, start, frequencyHz: f }) ** 2, 0),
  )
  const most = Math.max(...powers)
  const filled = starts.filter((_, i) => powers[i] >= filledPart * most)
  const start = filled[filled.length >> 1]
  return {
    atS: start / rateHz,
    tones: frequencyHz.map((f) => ({
      frequencyHz: f,
      amplitude: amplitudeAt({ ...reading, start, frequencyHz: f }),
      noiseAmplitude: noiseBeside({ ...reading, start, frequencyHz: f }),
    })),
  }
}

interface Reading {
  samples: Float64Array
  /** Sums to 2, so that the sum over a tone is its peak amplitude. */
  window: Float64Array
  rateHz: number
  start: number
  frequencyHz: number
}

/** The Fourier sum at one frequency, by turning a pointer; accurate far beyond what is asked over this length. */
function amplitudeAt({ samples, window, rateHz, start, frequencyHz }: Reading): number {
  const turn = (2 * Math.PI * frequencyHz) / rateHz
  const [c, s] = [Math.cos(turn), Math.sin(turn)]
  let [re, im, x, y] = [0, 0, 1, 0]
  for (let i = 0; i < window.length; i++) {
    const weighted = window[i] * samples[start + i]
    re += weighted * x
    im += weighted * y
    const next = x * c - y * s
    y = x * s + y * c
    x = next
  }
  return Math.hypot(re, im)
}

/** Root mean square of what noise alone would read: the power of noise in one bin has a median of ln 2 of its mean. */
function noiseBeside(reading: Reading): number {
  const powers = besideHz
    .map((offset) => amplitudeAt({ ...reading, frequencyHz: reading.frequencyHz + offset }) ** 2)
    .sort((a, b) => a - b)
  return Math.sqrt((powers[3] + powers[4]) / 2 / Math.LN2)
}
