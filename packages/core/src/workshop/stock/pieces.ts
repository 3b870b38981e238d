import { BoardwrightError } from '../../model/error.ts'

/** More than a workshop ever counts. */
const mostPieces = 10_000_000

/** A number of pieces. Errors: bad-argument. */
export function wholePieces(name: string, value: number, least: number): number {
  if (Number.isInteger(value) && value >= least && value <= mostPieces) return value
  throw new BoardwrightError(
    'bad-argument',
    `${name} must be a whole number from ${least} to ${mostPieces}; it is ${value}.`,
  )
}

/** What a person must say, and no more than fits. Errors: bad-argument. */
export function reasonOf(text: string): string {
  const reason = text.trim()
  if (reason === '')
    throw new BoardwrightError('bad-argument', 'Say why, in a few words: the reason stays with the lot.')
  return reason.slice(0, 500)
}
