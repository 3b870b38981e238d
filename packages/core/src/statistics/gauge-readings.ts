import { BoardwrightError } from '../model/error.ts'
import { requireFinite } from './check-argument.ts'

/** One reading of a gauge study. */
export interface GaugeReading {
  part: string
  /** Who or what measured: a person, or a set-up of the rig. */
  appraiser: string
  value: number
}

/** Readings in order: `cells[part][appraiser]` holds the trials. */
export interface GaugeCells {
  parts: string[]
  appraisers: string[]
  trials: number
  cells: number[][][]
}

/**
 * Sorts the readings of a crossed study into cells.
 * Throws `bad-argument` unless every appraiser measured every part equally often, with at least two of each.
 */
export function arrangeGaugeReadings(readings: readonly GaugeReading[]): GaugeCells {
  const parts = [...new Set(readings.map((reading) => reading.part))]
  const appraisers = [...new Set(readings.map((reading) => reading.appraiser))]
  const cells = parts.map(() => appraisers.map((): number[] => []))
  const partIndex = new Map(parts.map((part, i) => [part, i]))
  const appraiserIndex = new Map(appraisers.map((appraiser, i) => [appraiser, i]))
  for (const { part, appraiser, value } of readings) {
    requireFinite(`The reading of ${part} by ${appraiser}`, value)
    cells[partIndex.get(part)!]![appraiserIndex.get(appraiser)!]!.push(value)
  }
  const trials = cells[0]?.[0]?.length ?? 0
  const odd = parts.flatMap((part, p) =>
    appraisers.filter((_, a) => cells[p]![a]!.length !== trials).map((appraiser) => `${part} by ${appraiser}`),
  )
  if (odd.length > 0) {
    throw new BoardwrightError('bad-argument', `Every part must be measured equally often by each: look at ${odd[0]}.`)
  }
  if (parts.length < 2 || appraisers.length < 2 || trials < 2) {
    throw new BoardwrightError('bad-argument', 'A gauge study needs at least 2 parts, 2 appraisers and 2 trials.')
  }
  return { parts, appraisers, trials, cells }
}
