import type { z } from 'zod'
import { BoardwrightError } from '../model/error.ts'

/**
 * A database row (or a document out of one), checked at the door.
 * @param place named in the error: table and key
 * Errors: file-damaged with the path inside the row.
 */
export function readRow<S extends z.ZodType>(schema: S, row: unknown, place: string): z.output<S> {
  const parsed = schema.safeParse(row)
  if (parsed.success) return parsed.data
  const issue = parsed.error.issues[0]
  throw new BoardwrightError(
    'file-damaged',
    `What is stored at ${place} cannot be read: ${issue.path.join('.') || 'the row'}: ${issue.message}.`,
  )
}

/** Text that must be JSON. Errors: file-damaged. */
export function readJson(text: string, place: string): unknown {
  try {
    return JSON.parse(text)
  } catch (cause) {
    throw new BoardwrightError('file-damaged', `What is stored at ${place} is not JSON.`, { cause })
  }
}
