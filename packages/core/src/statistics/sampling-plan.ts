import { BoardwrightError } from '../model/error.ts'
import { codeLetters, type InspectionLevel, samplingCodeLetter } from './sampling-letters.ts'

/** How many to inspect, and how many bad ones are one too many. */
export interface SamplingPlan {
  codeLetter: string
  sampleSize: number
  /** The lot is accepted with at most so many bad ones. */
  acceptanceNumber: number
  /** The sample would be the whole lot or more: inspect every piece. */
  inspectAll: boolean
}

export type InspectionSeverity = 'normal' | 'tightened'

/** Preferred acceptance quality limits, percent nonconforming up to 10, nonconformities per 100 beyond. */
export const acceptanceQualityLimits: readonly number[] = [
  0.01, 0.015, 0.025, 0.04, 0.065, 0.1, 0.15, 0.25, 0.4, 0.65, 1, 1.5, 2.5, 4, 6.5, 10, 15, 25, 40, 65, 100, 150, 250,
  400, 650, 1000,
]

const sampleSizes = [2, 3, 5, 8, 13, 20, 32, 50, 80, 125, 200, 315, 500, 800, 1250, 2000, 3150]

/**
 * The master tables are the same along each diagonal, because a sample size and a limit that both move one step leave the
 * expected number of bad ones unchanged. First diagonal: letter A at 6.5 (normal) or at 10 (tightened).
 */
const diagonals = {
  normal: { first: 14, numbers: [0, 'up', 'down', 1, 2, 3, 5, 7, 10, 14, 21, 30, 44], lastLetter: 'R' },
  tightened: { first: 15, numbers: [0, 'down', 'down', 1, 2, 3, 5, 8, 12, 18, 27, 41], lastLetter: 'S' },
} as const

/** From letter F on the tables end two acceptance numbers earlier. */
const longRows = codeLetters.indexOf('E')

/**
 * Single sampling plan for a lot.
 * Source: MIL-STD-105E (1989), tables I, II-A and II-B, a public document; ISO 2859-1 carries the same single plans on
 * (that standard itself was not seen here). Where the table shows an arrow, the plan it points to is used, with that
 * plan's sample size.
 * @param options.acceptanceQualityLimit one of the preferred values; throws `bad-argument`
 */
export function samplingPlan(options: {
  lotSize: number
  level: InspectionLevel
  acceptanceQualityLimit: number
  severity: InspectionSeverity
}): SamplingPlan {
  const column = acceptanceQualityLimits.indexOf(options.acceptanceQualityLimit)
  if (column < 0) {
    throw new BoardwrightError('bad-argument', `${options.acceptanceQualityLimit} is not a preferred quality limit.`)
  }
  const row = followArrows(codeLetters.indexOf(samplingCodeLetter(options)), column, options.severity)
  const sampleSize = Math.min(sampleSizes[row.letter]!, options.lotSize)
  return {
    codeLetter: codeLetters[row.letter]!,
    sampleSize,
    acceptanceNumber: row.acceptanceNumber,
    inspectAll: sampleSizes[row.letter]! >= options.lotSize,
  }
}

interface Cell {
  letter: number
  acceptanceNumber: number
}

/** The plan of a cell, or the one its arrow points at; at the ends of the table the only plan lies the other way. */
function followArrows(start: number, column: number, severity: InspectionSeverity): Cell {
  const { first, numbers, lastLetter } = diagonals[severity]
  const last = codeLetters.indexOf(lastLetter)
  const entryOf = (letter: number): number | 'up' | 'down' => {
    const place = letter + column - first
    const end = numbers.length - (letter > longRows ? 2 : 0)
    return place < 0 ? 'down' : place >= end ? 'up' : numbers[place]!
  }
  const seek = (step: 1 | -1): Cell | undefined => {
    for (let letter = start; letter >= 0 && letter <= last; letter += step) {
      const entry = entryOf(letter)
      if (typeof entry === 'number') return { letter, acceptanceNumber: entry }
    }
    return undefined
  }
  const cell = entryOf(start) === 'up' ? (seek(-1) ?? seek(1)) : (seek(1) ?? seek(-1))
  if (!cell) throw new BoardwrightError('bad-argument', 'The tables hold no plan for this lot and quality limit.')
  return cell
}
