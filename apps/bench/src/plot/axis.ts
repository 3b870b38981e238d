/** Where a frequency stands on a logarithmic axis, 0 at `fromHz`, 1 at `toHz`. */
function frequencyShare(where: { frequencyHz: number; fromHz: number; toHz: number }): number {
  return Math.log(where.frequencyHz / where.fromHz) / Math.log(where.toHz / where.fromHz)
}

const formatFrequency = (frequencyHz: number): string =>
  frequencyHz >= 1000 ? `${frequencyHz / 1000}k` : String(frequencyHz)

interface FrequencyTick {
  /** Character column of the tick. */
  column: number
  label: string
}

/** Ticks at 1, 2 and 5 times the powers of ten. */
function frequencyTicks(axis: { fromHz: number; toHz: number; columns: number }): FrequencyTick[] {
  const ticks: FrequencyTick[] = []
  for (let decade = 10 ** Math.floor(Math.log10(axis.fromHz)); decade <= axis.toHz; decade *= 10)
    for (const factor of [1, 2, 5]) {
      const frequencyHz = decade * factor
      if (frequencyHz < axis.fromHz * 0.999 || frequencyHz > axis.toHz * 1.001) continue
      const share = frequencyShare({ ...axis, frequencyHz })
      ticks.push({ column: Math.round(share * (axis.columns - 1)), label: formatFrequency(frequencyHz) })
    }
  return ticks
}

/** The line of labels under a plot: each label centred under its tick, left out where it would touch the one before. */
export function frequencyLabels(axis: { fromHz: number; toHz: number; columns: number }): string {
  let line = ''
  const unit = ' Hz'
  for (const tick of frequencyTicks(axis)) {
    const start = Math.min(
      Math.max(0, tick.column - Math.floor((tick.label.length - 1) / 2)),
      axis.columns - tick.label.length,
    )
    if (line.length > 0 && start <= line.length) continue
    line = line.padEnd(start) + tick.label
  }
  return line.length + unit.length <= axis.columns + unit.length ? line + unit : line
}

/** A step of 1, 2 or 5 times a power of ten that gives at most `most` steps over `span`. */
function niceStep(span: number, most: number): number {
  const rough = span / Math.max(1, most)
  const power = 10 ** Math.floor(Math.log10(rough))
  return ([1, 2, 5, 10].find((factor) => factor * power >= rough * 0.999) ?? 10) * power
}

export interface LevelAxis {
  lowDb: number
  highDb: number
  stepDb: number
}

/**
 * A level axis with round limits around the values given.
 * @param values.rows text rows of the plot: labels stand at least two rows apart
 */
export function levelAxis(values: { lowDb: number; highDb: number; rows: number }): LevelAxis {
  const span = Math.max(values.highDb - values.lowDb, 0.2)
  const stepDb = niceStep(span, Math.max(1, Math.floor(values.rows / 2)))
  const lowDb = Math.floor(values.lowDb / stepDb + 0.001) * stepDb
  const highDb = Math.ceil(values.highDb / stepDb - 0.001) * stepDb
  return { lowDb, highDb: highDb > lowDb ? highDb : lowDb + stepDb, stepDb }
}

/** The text of each row of the level axis, right-aligned, blank between the ticks; the first row carries the unit. */
export function levelLabels(axis: LevelAxis & { rows: number; width: number }): string[] {
  const labels = new Array<string>(axis.rows).fill('')
  const decimals = axis.stepDb < 0.1 ? 2 : axis.stepDb < 1 ? 1 : 0
  for (let value = axis.lowDb; value <= axis.highDb + axis.stepDb / 2; value += axis.stepDb) {
    const share = (axis.highDb - value) / (axis.highDb - axis.lowDb)
    const sign = value > axis.stepDb / 2 ? '+' : ''
    const text = Math.abs(value) < axis.stepDb / 2 ? '0' : value.toFixed(decimals)
    labels[Math.round(share * (axis.rows - 1))] = sign + text
  }
  return labels.map((label, row) => (row === 0 ? `dB ${label}` : label).padStart(axis.width))
}
