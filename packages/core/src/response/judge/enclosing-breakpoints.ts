import type { Breakpoint } from '../../model/product.ts'

/** Octave frequencies with the ends of the measuring range, Hz: where a band bends when nobody says. */
const octavesHz = [20, 31.5, 63, 125, 250, 500, 1000, 2000, 4000, 8000, 16_000, 20_000]

/** Smallest half width of a band, dB: below it the rig's own repeatability decides. */
export const leastBandDb = 0.15
/** Limits are rounded outwards to this, dB: nobody reads a band to the hundredth. */
const stepDb = 0.05

/**
 * Breakpoints of a band that lies outside two curves of permitted deviation: each takes the widest value up to its
 * neighbours, so that the straight lines between them never cut a curve.
 *
 * @param options.upperDb, lowerDb limits over the rising `frequencyHz`, dB; where they do not leave room around zero, the
 *   least half width is kept
 * @param options.breakpointsHz where the band may bend, rising (octaves); at least two
 */
export function enclosingBreakpoints(options: {
  frequencyHz: ArrayLike<number>
  upperDb: ArrayLike<number>
  lowerDb: ArrayLike<number>
  breakpointsHz?: readonly number[]
}): Breakpoint[] {
  const { frequencyHz, upperDb, lowerDb, breakpointsHz = octavesHz } = options
  const last = breakpointsHz.length - 1
  return breakpointsHz.map((hz, k) => {
    const from = breakpointsHz[Math.max(0, k - 1)] * 0.999
    const to = breakpointsHz[Math.min(last, k + 1)] * 1.001
    let [upper, lower] = [0, 0]
    for (let i = 0; i < frequencyHz.length; i++) {
      if (frequencyHz[i] < from || frequencyHz[i] > to) continue
      upper = Math.max(upper, upperDb[i])
      lower = Math.min(lower, lowerDb[i])
    }
    return { frequencyHz: hz, upperDb: outwards(upper), lowerDb: -outwards(-lower) }
  })
}

/** Rounded to hundredths after all, for 3 x 0.05 is not 0.15 in binary. */
const outwards = (widthDb: number): number =>
  Math.max(leastBandDb, Math.round(Math.ceil(widthDb / stepDb - 1e-9) * stepDb * 100) / 100)
