export type Ink = 'blue' | 'orange' | 'pencil' | 'ink'

/** One line of a chart; `values` stand on the chart's frequencies, null where the line has no value. */
export interface ChartLine {
  /** What the table and the read-out call it. */
  name: string
  ink: Ink
  width: number
  /** Lengths of dash and gap, in pixels; every line of a chart has its own, so that colour is not needed. */
  dash?: number[]
  values: (number | null)[]
  /** Written beside the line, at this share of the visible width; `reachPx` is how far off, 26 unless told. */
  label?: { text: string; at: number; side: 'above' | 'below'; reachPx?: number }
  /** A line that only repeats part of another stays out of the table. */
  outOfTable?: boolean
}

/** A point that must be seen: where a limit is broken worst. */
export interface ChartMark {
  frequencyHz: number
  value: number
  text: string
  side: 'above' | 'below'
}

export interface ChartData {
  frequencyHz: number[]
  lines: ChartLine[]
  /** Indices of the two lines that the permitted area lies between. */
  band?: { upper: number; lower: number }
  marks: ChartMark[]
}

/** A part of the frequency axis, Hz. */
export interface FrequencyRange {
  fromHz: number
  toHz: number
}

/** Rising frequencies that occur in any of the grids: lines of different grids can share a chart without inventing points. */
export function mergeGrids(grids: readonly (readonly number[])[]): number[] {
  return [...new Set(grids.flat())].sort((a, b) => a - b)
}

/** Values of one grid on a merged grid; null where that grid has no point. */
export function onGrid({
  frequencyHz,
  values,
  grid,
}: {
  frequencyHz: readonly number[]
  values: readonly (number | null)[]
  grid: readonly number[]
}): (number | null)[] {
  const at = new Map(frequencyHz.map((f, i) => [f, values[i] ?? null]))
  return grid.map((f) => at.get(f) ?? null)
}
