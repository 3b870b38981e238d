// A two-band tone control as a digital filter whose response is known in closed form: what a recording of a board would
// be, made without any code of the project. Its own reader and writer of 32-bit float WAV (format tag 3), too.
import { readFileSync, writeFileSync } from 'node:fs'

/** y[n] = sum b[k] x[n-k] - sum a[k] y[n-k], a[0] = 1. */
export interface Filter {
  b: readonly number[]
  a: readonly number[]
}

const multiply = (p: readonly number[], q: readonly number[]): number[] => {
  const product = new Array<number>(p.length + q.length - 1).fill(0)
  for (const [i, x] of p.entries()) for (const [j, y] of q.entries()) product[i + j] += x * y
  return product
}
const add = (...all: (readonly number[])[]): number[] =>
  Array.from({ length: Math.max(...all.map((p) => p.length)) }, (_, i) => all.reduce((sum, p) => sum + (p[i] ?? 0), 0))
const scale = (p: readonly number[], factor: number): number[] => p.map((x) => x * factor)

export interface Tone {
  rateHz: number
  /** Gain added by the low and by the high shelf, as factors: 3 is +12 dB at the end. */
  bass: number
  treble: number
  /** Overall gain, dB. */
  levelDb?: number
}

const poleAt = (frequencyHz: number, rateHz: number) => Math.exp((-2 * Math.PI * frequencyHz) / rateHz)

/**
 * H = 1 + bass L + treble (1 - T), L and T one-pole low-passes (1 - p) / (1 - p z^-1) at 150 Hz and 3 kHz.
 * At `min` the inverse filter 1/H: then max times min is flat, as a symmetrical tone control has it.
 */
export function toneBoard(tone: Tone, setting: 'max' | 'min' | 'centre'): Filter {
  const gain = 10 ** ((tone.levelDb ?? 0) / 20)
  if (setting === 'centre') return { b: [gain], a: [1] }
  const low = poleAt(150, tone.rateHz)
  const high = poleAt(3000, tone.rateHz)
  const a = multiply([1, -low], [1, -high])
  const b = add(a, scale([1, -high], tone.bass * (1 - low)), scale(multiply([high, -high], [1, -low]), tone.treble))
  return setting === 'max' ? { b: scale(b, gain), a } : { b: scale(a, gain / b[0]), a: scale(b, 1 / b[0]) }
}

/** Gain in dB at a frequency: the filter's transfer function on the unit circle. */
export function gainDb({ b, a }: Filter, at: { frequencyHz: number; rateHz: number }): number {
  const power = (p: readonly number[]) => {
    const w = (2 * Math.PI * at.frequencyHz) / at.rateHz
    const re = p.reduce((sum, x, k) => sum + x * Math.cos(k * w), 0)
    const im = p.reduce((sum, x, k) => sum - x * Math.sin(k * w), 0)
    return re * re + im * im
  }
  return 10 * Math.log10(power(b) / power(a))
}

export function filter({ b, a }: Filter, x: Float64Array): Float64Array {
  const y = new Float64Array(x.length)
  for (let n = 0; n < x.length; n++) {
    let sum = 0
    for (let k = 0; k < b.length && k <= n; k++) sum += b[k] * x[n - k]
    for (let k = 1; k < a.length && k <= n; k++) sum -= a[k] * y[n - k]
    y[n] = sum
  }
  return y
}

/** Delays by whole samples, adds room at the end and white noise of the given level (rms, dBFS re 1). */
export function recordingOf(
  sound: Float64Array,
  options: { delaySamples?: number; noiseDbfs?: number; seed?: number } = {},
): Float64Array {
  const { delaySamples = 1234, noiseDbfs = -100, seed = 1 } = options
  const recording = new Float64Array(sound.length + delaySamples + 4000)
  recording.set(sound, delaySamples)
  let state = seed
  const amplitude = 10 ** (noiseDbfs / 20) * Math.sqrt(3)
  for (let i = 0; i < recording.length; i++) {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0 // linear congruential generator of Numerical Recipes
    recording[i] += amplitude * (state / 2 ** 31 - 1)
  }
  return recording
}

/** Reads a mono 32-bit float WAV file, plain (tag 3) or extensible. */
export function readFloatWave(path: string): { rateHz: number; samples: Float64Array } {
  const bytes = readFileSync(path)
  let rateHz = 0
  for (let at = 12; at + 8 <= bytes.length; ) {
    const id = bytes.toString('latin1', at, at + 4)
    const size = bytes.readUInt32LE(at + 4)
    if (id === 'fmt ') rateHz = bytes.readUInt32LE(at + 12)
    if (id === 'data')
      return {
        rateHz,
        samples: Float64Array.from({ length: size / 4 }, (_, i) => bytes.readFloatLE(at + 8 + 4 * i)),
      }
    at += 8 + size + (size & 1)
  }
  throw new Error(`${path} has no data chunk`)
}

export function writeFloatWave(path: string, wave: { rateHz: number; samples: Float64Array }): void {
  const size = wave.samples.length * 4
  const bytes = Buffer.alloc(44 + size)
  bytes.write('RIFF', 0)
  bytes.writeUInt32LE(36 + size, 4)
  bytes.write('WAVEfmt ', 8)
  bytes.writeUInt32LE(16, 16)
  bytes.writeUInt16LE(3, 20)
  bytes.writeUInt16LE(1, 22)
  bytes.writeUInt32LE(wave.rateHz, 24)
  bytes.writeUInt32LE(wave.rateHz * 4, 28)
  bytes.writeUInt16LE(4, 32)
  bytes.writeUInt16LE(32, 34)
  bytes.write('data', 36)
  bytes.writeUInt32LE(size, 40)
  wave.samples.forEach((sample, i) => {
    bytes.writeFloatLE(sample, 44 + 4 * i)
  })
  writeFileSync(path, bytes)
}
