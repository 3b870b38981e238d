import type { Stretch } from '../../model/verdict.ts'
import type { PointDecision } from './judge-guard.ts'

/** The decided points of one setting, all arrays of the same length. */
export interface DecidedPoints {
  setting: string
  frequencyHz: readonly number[]
  deviationDb: readonly number[]
  upperDb: readonly number[]
  lowerDb: readonly number[]
  guardDb: readonly number[]
  decisions: readonly PointDecision[]
}

/**
 * Gathers neighbouring points that broke, or came too near, the same limit into stretches, each with its worst point.
 * Undecided points between two failing ones belong to the failing stretch (noise must not cut one fault into ten); those
 * before its first and after its last failing point make stretches of their own.
 */
export function findStretches(points: DecidedPoints): Stretch[] {
  const stretches: Stretch[] = []
  const { decisions } = points
  let start = 0
  while (start < decisions.length) {
    const first = decisions[start]
    if (first.verdict === 'pass') {
      start++
      continue
    }
    let end = start
    while (end + 1 < decisions.length && sameSide(decisions[end + 1], first)) end++
    stretches.push(...splitRun(points, start, end))
    start = end + 1
  }
  return stretches
}

const sameSide = (a: PointDecision, b: PointDecision): boolean => a.verdict !== 'pass' && a.kind === b.kind

function splitRun(points: DecidedPoints, start: number, end: number): Stretch[] {
  const failing: number[] = []
  for (let i = start; i <= end; i++) if (points.decisions[i].verdict === 'fail') failing.push(i)
  if (failing.length === 0) return [stretchOf(points, start, end, 'repeat')]
  const first = failing[0]
  const last = failing[failing.length - 1]
  const parts: Stretch[] = []
  if (first > start) parts.push(stretchOf(points, start, first - 1, 'repeat'))
  parts.push(stretchOf(points, first, last, 'fail'))
  if (last < end) parts.push(stretchOf(points, last + 1, end, 'repeat'))
  return parts
}

function stretchOf(points: DecidedPoints, from: number, to: number, verdict: Stretch['verdict']): Stretch {
  let worst = from
  for (let i = from; i <= to; i++) if (points.decisions[i].excessDb > points.decisions[worst].excessDb) worst = i
  const { kind } = points.decisions[worst]
  return {
    setting: points.setting,
    kind,
    verdict,
    fromHz: points.frequencyHz[from],
    toHz: points.frequencyHz[to],
    worstHz: points.frequencyHz[worst],
    deviationDb: points.deviationDb[worst],
    limitDb: kind === 'above' ? points.upperDb[worst] : points.lowerDb[worst],
    guardDb: points.guardDb[worst],
  }
}
