import type { ToleranceBand } from '../model/product.ts'
import { enclosingBreakpoints, leastBandDb } from '../response/judge/enclosing-breakpoints.ts'
import { bandLimits } from '../response/judge/tolerance-band.ts'
import { quantileOfSorted } from './cloud-statistics.ts'
import type { CloudSetting, ToleranceCloud } from './tolerance-cloud.ts'

/** What a board is compared with: the circuit as designed, or the reference board, which is a board like any other. */
export type Against = 'nominal' | 'another-board'

/** Deviations of each board from what it is compared with, board after board. */
const deviationsOf = (cloud: ToleranceCloud, { deviationDb }: CloudSetting, against: Against): Float64Array => {
  if (against === 'nominal') return deviationDb
  const n = cloud.frequencyHz.length
  // Each board against its neighbour in the list: independent of it, and every board is used twice.
  return deviationDb.map((x, k) => x - deviationDb[(k + n) % deviationDb.length])
}

/**
 * Tolerance bands that follow the natural spread: the shape of the spread at each setting, scaled so that the wanted share of
 * healthy boards keeps inside at every frequency and setting at once.
 *
 * @param options `yield` wanted (0.995); `against`; `widenDb` added on both sides for the rig's own spread (0.1);
 *   `breakpointsHz` where the band may bend
 */
export const bandFromTolerance = (options: {
  cloud: ToleranceCloud
  yield?: number
  against?: Against
  widenDb?: number
  breakpointsHz?: readonly number[]
  compare?: ToleranceBand['compare']
}): ToleranceBand[] => {
  const { cloud, against = 'another-board', widenDb = 0.1, compare = 'absolute' } = options
  const deviations = cloud.settings.map((s) => deviationsOf(cloud, s, against))
  const shapes = deviations.map((d) => spreadShape(d, cloud.frequencyHz.length))
  const excesses = Float64Array.from({ length: cloud.boards }, (_, b) =>
    Math.max(...deviations.map((d, k) => excess(d, shapes[k], b))),
  ).sort()
  const scale = quantileOfSorted(excesses, options.yield ?? 0.995)
  return cloud.settings.map(({ setting }, k) => ({
    setting,
    compare,
    breakpoints: enclosingBreakpoints({
      frequencyHz: cloud.frequencyHz,
      upperDb: shapes[k].up.map((x) => scale * x + widenDb),
      lowerDb: shapes[k].down.map((x) => -scale * x - widenDb),
      breakpointsHz: options.breakpointsHz,
    }),
  }))
}

type Shape = { up: Float64Array; down: Float64Array }

/** Root mean square of the deviations above and below zero separately: the spread of an electrolytic is lopsided. */
const spreadShape = (deviations: Float64Array, n: number): Shape => {
  const [up, down, ups, downs] = [0, 0, 0, 0].map(() => new Float64Array(n))
  deviations.forEach((x, k) => {
    const i = k % n
    if (x > 0) {
      up[i] += x * x
      ups[i]++
    } else {
      down[i] += x * x
      downs[i]++
    }
  })
  const root = (sum: Float64Array, count: Float64Array) =>
    sum.map((x, i) => Math.max(leastBandDb / 3, Math.sqrt(x / Math.max(1, count[i]))))
  return { up: root(up, ups), down: root(down, downs) }
}

const excess = (deviations: Float64Array, { up, down }: Shape, board: number): number => {
  let most = 0
  for (let i = 0; i < up.length; i++) {
    const x = deviations[board * up.length + i]
    most = Math.max(most, x > 0 ? x / up[i] : -x / down[i])
  }
  return most
}

/**
 * Share of the boards of a cloud that keep inside bands at every frequency of the settings that the bands name.
 *
 * A band that compares `aligned` judges what is left when the board's mean deviation is taken out.
 */
export const yieldUnder = (options: {
  cloud: ToleranceCloud
  bands: readonly ToleranceBand[]
  against?: Against
}): number => {
  const { cloud, bands, against = 'another-board' } = options
  const n = cloud.frequencyHz.length
  const passed = new Uint8Array(cloud.boards).fill(1)
  for (const setting of cloud.settings) {
    const band = bands.find((b) => b.setting === setting.setting)
    if (!band) continue
    const deviations = deviationsOf(cloud, setting, against)
    const limits = bandLimits({ band, frequencyHz: Array.from(cloud.frequencyHz) })
    for (let b = 0; b < cloud.boards; b++) {
      const level = band.compare === 'aligned' ? meanOf(deviations.subarray(b * n, (b + 1) * n)) : 0
      limits.index.forEach((i, k) => {
        const x = deviations[b * n + i] - level
        if (x > limits.upperDb[k] || x < limits.lowerDb[k]) passed[b] = 0
      })
    }
  }
  return passed.reduce((a, b) => a + b, 0) / cloud.boards
}

const meanOf = (x: Float64Array): number => x.reduce((a, b) => a + b, 0) / x.length
