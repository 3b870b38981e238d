import { isBoardwrightError } from '@boardwright/core'

export interface SessionProblem {
  message: string
  remedy: string
}

/** What went wrong, as a sentence and what to do; anything unexpected is a fault of Boardwright and says so. */
export const problemOf = (error: unknown): SessionProblem =>
  isBoardwrightError(error)
    ? { message: error.message, remedy: error.remedy }
    : {
        message: `This is a fault of Boardwright: ${error instanceof Error ? error.message : String(error)}`,
        remedy: 'Nothing was stored. Try again; if it comes back, report it with the steps that led here.',
      }
