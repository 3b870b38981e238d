import { highestHardOrder } from '../../model/hard-plan.ts'
import type { HardHarmonic } from '../../model/hard-signature.ts'

/** A steady tone taken apart. */
export interface ToneReading {
  /** Peak amplitude of the fundamental, in the unit of the samples. */
  amplitude: number
  /** Phase of the fundamental, rad: 0 is a crest at the first sample. */
  phase: number
  harmonics: HardHarmonic[]
  /** Root sum of squares of the harmonics over the fundamental, noise taken off, per cent. */
  thdPercent: number
  /** Highest and lowest point of one period, in the unit of the samples. */
  high: number
  low: number
}

interface Line {
  re: number
  im: number
}

/** Orders from which the shape of the wave is put together again. */
const shapeOrders = 20
/** Share of the sample rate up to which a harmonic is read: above it the converters' filters begin. */
const usableShare = 0.46
/** Lines beside a harmonic in which its noise is read; their median passes over a line of hum. */
const besideLines = [-9, -7, -5, 5, 7, 9]
const shapePoints = 256

/** Hann window that sums to 2, so that the sum over a tone is its peak amplitude. */
const hann = (length: number): Float64Array =>
  Float64Array.from({ length }, (_, i) => (2 - 2 * Math.cos((2 * Math.PI * i) / length)) / length)
let window = hann(1)

/** One line of the spectrum, `cycles` periods in the window, phase told from the first sample. */
function readLine(samples: Float64Array, cycles: number): Line {
  const turn = (2 * Math.PI * cycles) / samples.length
  const [c, s] = [Math.cos(turn), Math.sin(turn)]
  let [re, im, x, y] = [0, 0, 1, 0]
  for (let i = 0; i < samples.length; i++) {
    const weighted = window[i] * samples[i]
    re += weighted * x
    im -= weighted * y
    const next = x * c - y * s
    y = x * s + y * c
    x = next
  }
  return { re, im }
}

const sizeOf = ({ re, im }: Line): number => Math.hypot(re, im)

/** Noise amplitude behind a line: the power of noise in one line has a median of ln 2 of its mean. */
function noiseAt(samples: Float64Array, cycles: number): number {
  const powers = besideLines.map((offset) => sizeOf(readLine(samples, cycles + offset)) ** 2).sort((a, b) => a - b)
  return Math.sqrt((powers[2] + powers[3]) / 2 / Math.LN2)
}

/** Degrees into -180 (excluded) to 180. */
export const wrapDeg = (deg: number): number => {
  const turned = ((deg % 360) + 360) % 360
  return turned > 180 ? turned - 360 : turned
}

/**
 * Takes a steady tone apart: fundamental, harmonics 2 to 7 with their turn against the fundamental, and the shape of the
 * wave. The samples hold a whole number of periods, so that every harmonic is a line of its own.
 *
 * Phases count from the crest of the fundamental: with x = A cos(p) the harmonic of order k is a cos(k p + its phase).
 *
 * @param options.cycles periods of the fundamental in the samples
 * Source: discrete Fourier transform under a Hann window (F. J. Harris, Proc. IEEE 66(1), 1978, from memory).
 */
export function toneHarmonics(options: { samples: Float64Array; cycles: number }): ToneReading {
  const { samples, cycles } = options
  if (window.length !== samples.length) window = hann(samples.length)
  const most = Math.floor((usableShare * samples.length) / cycles)
  const lines = Array.from({ length: Math.max(1, Math.min(shapeOrders, most)) }, (_, i) =>
    readLine(samples, (i + 1) * cycles),
  )
  const amplitude = sizeOf(lines[0])
  const phase = Math.atan2(lines[0].im, lines[0].re)
  const harmonics: HardHarmonic[] = []
  let power = 0
  for (let order = 2; order <= Math.min(highestHardOrder, lines.length); order++) {
    const line = lines[order - 1]
    const size = sizeOf(line)
    const noise = noiseAt(samples, order * cycles)
    power += Math.max(0, size ** 2 - noise ** 2)
    harmonics.push({
      order,
      levelDb: ratioDb(size, amplitude),
      phaseDeg: wrapDeg(((Math.atan2(line.im, line.re) - order * phase) * 180) / Math.PI),
      noiseDb: ratioDb(noise, amplitude),
    })
  }
  const thdPercent = amplitude > 0 ? (100 * Math.sqrt(power)) / amplitude : 0
  return { amplitude, phase, harmonics, thdPercent, ...extremes(lines) }
}

/** Nothing at all reads -200 dB. */
const ratioDb = (a: number, b: number): number =>
  Math.max(-200, 20 * Math.log10(Math.max(a, 1e-300) / Math.max(b, 1e-300)))

/** The wave put together from its harmonics over one period: noise and hum are not in it. */
function extremes(lines: readonly Line[]): { high: number; low: number } {
  let [high, low] = [Number.NEGATIVE_INFINITY, Number.POSITIVE_INFINITY]
  for (let i = 0; i < shapePoints; i++) {
    const angle = (2 * Math.PI * i) / shapePoints
    const value = lines.reduce(
      (sum, { re, im }, k) => sum + re * Math.cos((k + 1) * angle) - im * Math.sin((k + 1) * angle),
      0,
    )
    high = Math.max(high, value)
    low = Math.min(low, value)
  }
  return { high, low }
}
