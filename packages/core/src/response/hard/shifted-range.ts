/** The least and the greatest that a curve reads within a reach of a place. */
export interface ShiftedRange {
  least: number
  greatest: number
}

/** A curve on a rising axis, at one place: a straight line between points, and beyond the ends as the last two run. */
function curveAt(axis: readonly number[], values: readonly number[], place: number): number {
  let i = 0
  while (i < axis.length - 2 && axis[i + 1] < place) i++
  const share = (place - axis[i]) / (axis[i + 1] - axis[i])
  return values[i] + share * (values[i + 1] - values[i])
}

/**
 * What a curve reads anywhere within `reach` of a place: where it is steep, a small shift along the axis is a large step of
 * its value, and a board that clips a little sooner must not be failed for each of its harmonics too.
 * @param options.axis rising; two points or more
 */
export function shiftedRange(options: {
  axis: readonly number[]
  values: readonly number[]
  place: number
  reach: number
}): ShiftedRange {
  const { axis, values, place, reach } = options
  const at = [curveAt(axis, values, place - reach), curveAt(axis, values, place), curveAt(axis, values, place + reach)]
  axis.forEach((one, i) => {
    if (Math.abs(one - place) < reach) at.push(values[i])
  })
  return { least: Math.min(...at), greatest: Math.max(...at) }
}
