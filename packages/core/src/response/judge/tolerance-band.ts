import type { ToleranceBand } from '../../model/product.ts'

/** How far beyond its end breakpoints a band still counts a grid point as its own: covers the rounding of a grid. */
const endSlack = 1e-6

/** The limits of a band at the grid points that it judges. */
export interface BandLimits {
  /** Index into the grid that was asked for, per judged point. */
  index: number[]
  frequencyHz: number[]
  upperDb: number[]
  lowerDb: number[]
}

/**
 * Puts a band's breakpoints on a grid: linear in dB over the logarithm of frequency between neighbours.
 * Beyond its first and last breakpoint a band does not judge, and such points are left out: a maker who writes
 * "30 Hz to 16 kHz" means that nothing outside is promised, and holding the end value would promise it for them.
 * @param options.frequencyHz rising grid, Hz
 * @returns limits in dB relative to the reference, one per judged point
 */
export function bandLimits(options: {
  band: Pick<ToleranceBand, 'breakpoints'>
  frequencyHz: readonly number[]
}): BandLimits {
  const points = options.band.breakpoints
  const lowest = points[0].frequencyHz * (1 - endSlack)
  const highest = points[points.length - 1].frequencyHz * (1 + endSlack)
  const limits: BandLimits = { index: [], frequencyHz: [], upperDb: [], lowerDb: [] }
  let segment = 0
  options.frequencyHz.forEach((frequencyHz, index) => {
    if (!(frequencyHz >= lowest && frequencyHz <= highest)) return
    while (segment < points.length - 2 && frequencyHz > points[segment + 1].frequencyHz) segment++
    const low = points[segment]
    const high = points[segment + 1]
    const share = Math.log(frequencyHz / low.frequencyHz) / Math.log(high.frequencyHz / low.frequencyHz)
    const weight = Math.min(1, Math.max(0, share))
    limits.index.push(index)
    limits.frequencyHz.push(frequencyHz)
    limits.upperDb.push(low.upperDb + (high.upperDb - low.upperDb) * weight)
    limits.lowerDb.push(low.lowerDb + (high.lowerDb - low.lowerDb) * weight)
  })
  return limits
}

/** How far a judged curve may stop short of the band's end, octaves: two steps of the 1/24-octave grid. */
const coverageOctaves = 1 / 12

/**
 * Whether the judged points reach both ends of the band: a band that was only half measured has not been kept.
 * @param options.frequencyHz the judged points, Hz
 */
export function bandIsCovered(options: {
  band: Pick<ToleranceBand, 'breakpoints'>
  frequencyHz: readonly number[]
}): boolean {
  const { frequencyHz, band } = options
  if (frequencyHz.length === 0) return false
  const first = band.breakpoints[0].frequencyHz
  const last = band.breakpoints[band.breakpoints.length - 1].frequencyHz
  const gap = 2 ** coverageOctaves * (1 + endSlack)
  return frequencyHz[0] <= first * gap && frequencyHz[frequencyHz.length - 1] >= last / gap
}
