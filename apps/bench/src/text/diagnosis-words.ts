import { formatProbability, type NextCheck, type Suspect } from '@boardwright/core'

/** A suspect as lines of text: rank, probability, words; then what is expected against what was found, and the place. */
export function suspectLines({ probability, words, suspicions, places }: Suspect, rank: number): string[] {
  const [{ expected, found }] = suspicions
  const against = expected !== null && found !== null ? [`expected ${expected}, found ${found}`] : []
  const where = places.map(
    ({ designator, xMm, yMm, side }) =>
      `${designator} at ${round(xMm)}, ${round(yMm)} mm${side === 'bottom' ? ', bottom side' : ''}`,
  )
  const details = [...against, ...where]
  return [
    `${String(rank).padStart(2)}. ${formatProbability(probability).padStart(6)}  ${words}`,
    ...(details.length > 0 ? [`${' '.repeat(12)}${details.join('; ')}`] : []),
  ]
}

const round = (mm: number): string => String(Math.round(10 * mm) / 10)

/** A check as lines of text: what to do, then what each suspect would make it show. */
export function checkLines({ words, outcomes }: NextCheck): string[] {
  return [`  - ${words}`, ...outcomes.map((outcome) => `      ${outcome.designators.join(', ')}: ${outcome.words}`)]
}
