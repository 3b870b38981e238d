import type { SampleSpan } from './sweep-signal.ts'

/** One component of mains hum. */
interface HumComponent {
  frequencyHz: number
  /** Amplitude, full scale = 1. */
  amplitude: number
}

/** The hum of one mains frequency in a silence. */
export interface Hum {
  mainsHz: 50 | 60
  components: HumComponent[]
}

/** Harmonics of the mains that are looked at: beyond, switching supplies and lamps make no regular pattern. */
const harmonics = 10
/**
 * How far the power of a component must stand above the mean of the floor around it (14 dB). Over noise alone, with 14
 * floor readings, that happens once in 250,000 looks (F distribution, 2 and 28 degrees of freedom).
 */
const prominence = 25
/** The floor is read at 3 to 9 widths of a bin to each side. */
const floorWidths = [3, 4, 5, 6, 7, 8, 9]
/** The reading runs at about this rate: hum ends far below. */
const slowRateHz = 3000
/** Shortest silence in which 50 and 60 Hz can be told apart, s. */
const shortestSilenceS = 0.28

/**
 * Looks for mains hum in a silence: components at multiples of 50 or 60 Hz that stand above the floor beside them. The
 * family with more power wins; what both families share (300 Hz, 600 Hz) counts for the winner only.
 * @returns null without hum, or when the silence is too short to tell
 */
export function findHum(options: { samples: Float64Array; span: SampleSpan; rateHz: number }): Hum | null {
  const { span, rateHz } = options
  const durationS = (span.endSample - span.startSample) / rateHz
  if (durationS < shortestSilenceS) return null
  const powerAt = windowedPower(slowed(options))
  const widthHz = 1 / durationS
  const families = ([50, 60] as const).map((mainsHz) => {
    const components: HumComponent[] = []
    for (let k = 1; k <= harmonics; k++) {
      const frequencyHz = k * mainsHz
      const power = powerAt(frequencyHz)
      const floor = floorPower({ powerAt, frequencyHz, widthHz })
      if (power > prominence * floor && power > 1e-12) components.push({ frequencyHz, amplitude: Math.sqrt(power) })
    }
    return { mainsHz, components }
  })
  const [fifty, sixty] = families
  const stronger = humAmplitude(fifty) >= humAmplitude(sixty) ? fifty : sixty
  // A lone high component is a whistle; mains shows in its first three harmonics.
  const isMains = stronger.components.some((c) => c.frequencyHz <= 3 * stronger.mainsHz)
  return isMains ? stronger : null
}

/** Root sum of squares of the components' amplitudes, full scale = 1. */
export const humAmplitude = (hum: Hum): number => Math.hypot(...hum.components.map((c) => c.amplitude))

/** Mean power beside a frequency, clear of every multiple of 50 and 60 Hz (a Hann window reaches two widths). */
function floorPower(options: {
  powerAt: (frequencyHz: number) => number
  frequencyHz: number
  widthHz: number
}): number {
  const { powerAt, frequencyHz, widthHz } = options
  let sum = 0
  let count = 0
  for (const width of floorWidths)
    for (const side of [-1, 1]) {
      const f = frequencyHz + side * width * widthHz
      const clear = [50, 60].every((mains) => Math.abs(f - mains * Math.round(f / mains)) > 2 * widthHz)
      if (f < 2 * widthHz || !clear) continue
      sum += powerAt(f)
      count++
    }
  return count > 0 ? sum / count : Number.POSITIVE_INFINITY
}

/** The span at a low rate: means of neighbouring samples, without the mean of all. */
function slowed(options: { samples: Float64Array; span: SampleSpan; rateHz: number }) {
  const { samples, span, rateHz } = options
  const factor = Math.max(1, Math.floor(rateHz / slowRateHz))
  const part = new Float64Array(Math.floor((span.endSample - span.startSample) / factor))
  for (let i = 0, at = span.startSample; i < part.length; i++)
    for (let j = 0; j < factor; j++) part[i] += samples[at++] / factor
  const mean = part.reduce((a, b) => a + b, 0) / part.length
  return { part: part.map((v) => v - mean), rateHz: rateHz / factor, factor }
}

/** Squared amplitude of a sine at a frequency, through a Hann window; what the means took away is given back. */
function windowedPower({ part, rateHz, factor }: ReturnType<typeof slowed>) {
  const n = part.length
  const windowed = part.map((v, i) => v * Math.sin((Math.PI * (i + 0.5)) / n) ** 2)
  return (frequencyHz: number): number => {
    // Goertzel's recursion. Source: Goertzel, American Mathematical Monthly 65, 1958.
    const turn = (2 * Math.PI * frequencyHz) / rateHz
    const twice = 2 * Math.cos(turn)
    let s1 = 0
    let s2 = 0
    for (let i = 0; i < n; i++) {
      const s0 = windowed[i] + twice * s1 - s2
      s2 = s1
      s1 = s0
    }
    const droop = Math.sin(turn / 2) / (factor * Math.sin(turn / 2 / factor))
    // The window's weights sum to n / 2.
    return Math.max(0, s1 * s1 + s2 * s2 - twice * s1 * s2) * (4 / n / droop) ** 2
  }
}
