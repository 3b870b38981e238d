import type { Problem } from '@boardwright/core/contract'

export interface ProblemNote {
  /** Key of core's error catalogue, or one that only a client can meet: three here, those of the sound in measure/sound. */
  code: string
  sentence: string
  remedy: string
  errors: { pointer: string; message: string }[]
}

/** A request that did not work, as a sentence and what to do. */
export class ProblemError extends Error {
  readonly note: ProblemNote

  constructor(note: Omit<ProblemNote, 'errors'> & { errors?: ProblemNote['errors'] }, options?: ErrorOptions) {
    super(note.sentence, options)
    this.name = 'ProblemError'
    this.note = { ...note, errors: note.errors ?? [] }
  }
}

export const fromProblem = (problem: Problem): ProblemError =>
  new ProblemError({
    code: problem.code,
    sentence: problem.detail,
    remedy: problem.remedy,
    errors: problem.errors,
  })

export const serverUnreachable = (cause: unknown): ProblemError =>
  new ProblemError(
    {
      code: 'server-unreachable',
      sentence: 'The desk cannot reach the Boardwright server.',
      remedy: 'Start it again with "boardwright serve" on the workshop computer; this page goes on by itself.',
    },
    { cause },
  )

export const replyNotUnderstood = (cause: unknown): ProblemError =>
  new ProblemError(
    {
      code: 'reply-not-understood',
      sentence: 'The server answered something that this page does not understand.',
      remedy: 'Load the page again: desk and server may be of different versions.',
    },
    { cause },
  )

/** Anything that was thrown, as a note to show. What is not a ProblemError is a bug of the desk and says so. */
export function toNote(error: unknown): ProblemNote {
  if (error instanceof ProblemError) return error.note
  return {
    code: 'desk-bug',
    sentence: `This page has a fault: ${error instanceof Error ? error.message : String(error)}`,
    remedy: 'Load the page again. If it comes back, keep this sentence for whoever mends Boardwright.',
    errors: [],
  }
}
