import type { FrequencyRange } from './chart-data.ts'

/** The narrowest view, octaves: below it a 1/24-octave grid shows no more than a few points. */
const narrowestOctaves = 1 / 3

const octaves = ({ fromHz, toHz }: FrequencyRange): number => Math.log2(toHz / fromHz)

/** The range of this width around a centre, moved inside `whole` where it stands out. */
function inside(centreHz: number, widthOctaves: number, whole: FrequencyRange): FrequencyRange {
  const width = Math.min(octaves(whole), Math.max(narrowestOctaves, widthOctaves))
  const lowest = Math.log2(whole.fromHz)
  const highest = Math.log2(whole.toHz)
  const from = Math.min(Math.max(Math.log2(centreHz) - width / 2, lowest), highest - width)
  return { fromHz: 2 ** from, toHz: 2 ** (from + width) }
}

const centreOf = ({ fromHz, toHz }: FrequencyRange): number => Math.sqrt(fromHz * toHz)

/** Half (or twice, for a factor of 2) as many octaves around `centreHz`, or around the middle of the view. */
export const scaleView = (
  view: FrequencyRange,
  { factor, whole, centreHz }: { factor: number; whole: FrequencyRange; centreHz?: number },
): FrequencyRange => inside(centreHz ?? centreOf(view), octaves(view) * factor, whole)

/** Moves the view by a share of its own width: negative to lower frequencies. */
export const moveView = (
  view: FrequencyRange,
  { share, whole }: { share: number; whole: FrequencyRange },
): FrequencyRange => inside(centreOf(view) * 2 ** (octaves(view) * share), octaves(view), whole)

/** A range drawn with the mouse, in either direction, not narrower than can be read. */
export function drawnView(aHz: number, bHz: number, whole: FrequencyRange): FrequencyRange {
  const drawn = { fromHz: Math.min(aHz, bHz), toHz: Math.max(aHz, bHz) }
  return inside(centreOf(drawn), octaves(drawn), whole)
}
