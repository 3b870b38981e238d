import { blockNoiseShare, type HumLine } from './hum-line.ts'
import type { MainsPhase } from './mains-phase.ts'

/** Mains is kept within this of its nominal frequency, Hz (EN 50160: 1 % for 99.5 % of the year; in practice 0.2 Hz). */
const furthestHz = 0.4
const stepHz = 0.04
/** Change from knot to knot that is nothing unusual, Hz. */
const usualChangeHz = 0.03

/** How much better than noise each deviation explains the blocks of a line near one moment, as a log-likelihood. */
const scoresNear = (lines: readonly HumLine[], knotAtS: number, reachS: number, deviations: readonly number[]) =>
  deviations.map((deviationHz) => {
    let score = 0
    for (const { order, atS, re, im } of lines) {
      let sumRe = 0
      let sumIm = 0
      let power = 0
      let count = 0
      for (let m = 0; m < atS.length; m++) {
        if (Math.abs(atS[m] - knotAtS) > reachS) continue
        const angle = 2 * Math.PI * order * deviationHz * (atS[m] - knotAtS)
        const c = Math.cos(angle)
        const s = Math.sin(angle)
        sumRe += re[m] * c + im[m] * s
        sumIm += im[m] * c - re[m] * s
        power += re[m] ** 2 + im[m] ** 2
        count++
      }
      if (count < 3 || power === 0) continue
      const share = Math.min(1 - 1e-9, (sumRe ** 2 + sumIm ** 2) / (count * power))
      score -= (count / blockNoiseShare) * Math.log1p(-share)
    }
    return score
  })

/**
 * A first idea of how the mains runs: the likeliest way through a table of deviations, knot by knot.
 * Source: dynamic programming (Viterbi 1967).
 *
 * @param options.lines a few low multiples of the mains
 */
export const searchMains = (options: { lines: readonly HumLine[]; start: MainsPhase }): MainsPhase => {
  const { lines, start } = options
  const half = Math.round(furthestHz / stepHz)
  const deviations = Array.from({ length: 2 * half + 1 }, (_, i) => (i - half) * stepHz)
  let best: number[] = []
  const cameFrom: number[][] = []
  for (let knot = 0; knot < start.deviationHz.length; knot++) {
    const scores = scoresNear(lines, knot * start.knotS, start.knotS, deviations)
    const steps: number[] = []
    best = scores.map((score, i) => {
      if (knot === 0) return 0.5 * score
      let from = 0
      let most = Number.NEGATIVE_INFINITY
      best.forEach((value, j) => {
        const way = value - 0.5 * ((deviations[i] - deviations[j]) / usualChangeHz) ** 2
        if (way > most) {
          most = way
          from = j
        }
      })
      steps.push(from)
      // Blocks between two knots are read for both.
      return most + 0.5 * score
    })
    cameFrom.push(steps)
  }
  const deviationHz = new Float64Array(start.deviationHz.length)
  let at = best.indexOf(Math.max(...best))
  for (let knot = deviationHz.length - 1; knot >= 0; knot--) {
    deviationHz[knot] = deviations[at]
    at = cameFrom[knot][at] ?? at
  }
  return { knotS: start.knotS, deviationHz }
}
