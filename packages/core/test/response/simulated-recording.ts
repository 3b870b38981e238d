import { normalDraws } from './seeded-noise.ts'

/** A second-order section, a0 = 1. */
export interface Section {
  b: [number, number, number]
  a: [number, number]
}

/** Bilinear second-order sections of an analogue prototype, warped at the corner. Source: textbook bilinear transform. */
export function section(options: {
  kind: 'low-pass' | 'high-pass' | 'peak' | 'low-shelf' | 'high-shelf' | 'all-pass'
  frequencyHz: number
  rateHz: number
  q?: number
  gainDb?: number
}): Section {
  const { kind, q = Math.SQRT1_2, gainDb = 0 } = options
  const w = Math.tan((Math.PI * options.frequencyHz) / options.rateHz)
  const g = 10 ** (gainDb / 40)
  // H(s) = (n2 s^2 + n1 s + n0) / (d2 s^2 + d1 s + d0) with s normalised to the corner.
  const prototypes: Record<typeof kind, [number[], number[]]> = {
    'low-pass': [
      [0, 0, 1],
      [1, 1 / q, 1],
    ],
    'high-pass': [
      [1, 0, 0],
      [1, 1 / q, 1],
    ],
    'all-pass': [
      [1, -1 / q, 1],
      [1, 1 / q, 1],
    ],
    peak: [
      [1, g / q, 1],
      [1, 1 / (g * q), 1],
    ],
    'low-shelf': [
      [1, Math.sqrt(g) / q, g],
      [1, 1 / (Math.sqrt(g) * q), 1 / g],
    ],
    'high-shelf': [
      [g, Math.sqrt(g) / q, 1],
      [1 / g, 1 / (Math.sqrt(g) * q), 1],
    ],
  }
  const [n, d] = prototypes[kind]
  const digital = ([s2, s1, s0]: number[]) => [
    s2 + s1 * w + s0 * w * w,
    2 * (s0 * w * w - s2),
    s2 - s1 * w + s0 * w * w,
  ]
  const num = digital(n)
  const den = digital(d)
  return {
    b: [num[0] / den[0], num[1] / den[0], num[2] / den[0]],
    a: [den[1] / den[0], den[2] / den[0]],
  }
}

/** Butterworth of even order as sections. */
export const butterworth = (kind: 'low-pass' | 'high-pass', order: number, frequencyHz: number, rateHz: number) =>
  Array.from({ length: order / 2 }, (_, k) =>
    section({ kind, frequencyHz, rateHz, q: 1 / (2 * Math.sin((Math.PI * (2 * k + 1)) / (2 * order))) }),
  )

export function filtered(samples: Float64Array, sections: readonly Section[]): Float64Array {
  let x = samples
  for (const section of sections) {
    const [b0, b1, b2] = section.b
    const [a1, a2] = section.a
    const y = new Float64Array(x.length)
    let z1 = 0
    let z2 = 0
    for (let i = 0; i < x.length; i++) {
      const u = x[i]
      const v = b0 * u + z1
      z1 = b1 * u - a1 * v + z2
      z2 = b2 * u - a2 * v
      y[i] = v
    }
    x = y
  }
  return x
}

export interface SimulatedRecording {
  stimulus: Float64Array
  sections?: readonly Section[]
  /** Polynomial of the sample after the filter. */
  polynomial?: (x: number) => number
  gain?: number
  /** Silence before the stimulus begins, samples. */
  lead?: number
  tail?: number
  /** Signal-to-noise, dB: rms of the loud part of the signal over rms of white noise. */
  snrDb?: number
  seed?: number
  /** Rate error of the recorder against the player, parts per million. */
  ppm?: number
  /** 0 leaves the samples unrounded. */
  bits?: number
  damage?: (samples: Float64Array, lead: number) => Float64Array
}

/** What a rig's interface would have recorded: filter, distortion, clock, noise, rounding, then damage. */
export function simulateRecording(options: SimulatedRecording): Float64Array {
  const { stimulus, sections = [], polynomial, gain = 1, lead = 5000, tail = 2000, ppm = 0, bits = 24 } = options
  let signal = filtered(stimulus, sections)
  if (polynomial) signal = signal.map(polynomial)
  if (ppm !== 0) signal = resampled(signal, 1 + ppm * 1e-6)
  const samples = new Float64Array(lead + signal.length + tail)
  for (let i = 0; i < signal.length; i++) samples[lead + i] = gain * signal[i]
  addNoise(samples, options)
  const steps = bits > 0 ? 2 ** (bits - 1) : 0
  const rounded = steps
    ? samples.map((v) => Math.max(-1, Math.min(1 - 1 / steps, Math.round(v * steps) / steps)))
    : samples
  return options.damage ? options.damage(rounded, lead) : rounded
}

function addNoise(samples: Float64Array, options: SimulatedRecording): void {
  if (options.snrDb === undefined) return
  const loud = samples.reduce((a, v) => Math.max(a, Math.abs(v)), 0)
  let sum = 0
  let count = 0
  for (const v of samples)
    if (Math.abs(v) > 0.05 * loud) {
      sum += v * v
      count++
    }
  const rms = Math.sqrt(sum / Math.max(1, count)) * 10 ** (-options.snrDb / 20)
  const draw = normalDraws(options.seed ?? 1)
  for (let i = 0; i < samples.length; i++) samples[i] += rms * draw()
}

/** Half the taps of the reader, and the turn of its raised-cosine window from tap to tap. */
const halfTaps = 32
const windowTurn = Math.PI / (halfTaps + 1)

/** Reads a signal at a slightly different speed with a windowed sinc of 64 taps. */
function resampled(signal: Float64Array, speed: number): Float64Array {
  const out = new Float64Array(Math.floor((signal.length - 1) / speed))
  const turnRe = Math.cos(windowTurn)
  const turnIm = Math.sin(windowTurn)
  for (let i = 0; i < out.length; i++) {
    const at = i * speed
    const whole = Math.floor(at)
    const rest = at - whole
    if (rest < 1e-12) {
      out[i] = signal[whole]
      continue
    }
    // sin(pi (k - at)) is the same for all k but for its sign, and the window turns on by a fixed angle.
    const first = whole - halfTaps + 1
    let sign = Math.sin(Math.PI * (first - at)) / Math.PI
    let re = Math.cos(windowTurn * (first - at))
    let im = Math.sin(windowTurn * (first - at))
    let sum = 0
    for (let k = first; k <= whole + halfTaps; k++) {
      if (k >= 0 && k < signal.length) sum += (signal[k] * sign * (0.5 + 0.5 * re)) / (k - at)
      sign = -sign
      const next = re * turnRe - im * turnIm
      im = re * turnIm + im * turnRe
      re = next
    }
    out[i] = sum
  }
  return out
}

/** Damage as real systems do it. `at` is a sample of the recording. */
export const dropped = (samples: Float64Array, at: number, length: number): Float64Array => {
  const out = samples.slice(0, samples.length - length)
  out.set(samples.subarray(at + length), at)
  return out
}
export const doubled = (samples: Float64Array, at: number, length: number): Float64Array => {
  const out = new Float64Array(samples.length + length)
  out.set(samples.subarray(0, at))
  out.set(samples.subarray(at - length), at)
  return out
}
export const zeroed = (samples: Float64Array, at: number, length: number): Float64Array =>
  samples.slice().fill(0, at, at + length)
/** The block before `at` played a second time instead of the one that belongs there. */
export const repeated = (samples: Float64Array, at: number, length: number): Float64Array => {
  const out = samples.slice()
  out.set(samples.subarray(at - length, at), at)
  return out
}
