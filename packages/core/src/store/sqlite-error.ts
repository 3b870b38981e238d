import { BoardwrightError, type ErrorCode, isBoardwrightError } from '../model/error.ts'

/** Result codes of SQLite (by name, prefixes count) that a user can cause or mend, and what they mean here. */
const meanings: readonly { prefix: string; code: ErrorCode; sentence: string }[] = [
  { prefix: 'SQLITE_FULL', code: 'disk-full', sentence: 'There is no space left for the workshop file' },
  // A write refused by the system is, in practice, a full disk, a quota or a size limit.
  { prefix: 'SQLITE_IOERR_WRITE', code: 'disk-full', sentence: 'The system refused to write to the workshop file' },
  { prefix: 'SQLITE_IOERR_SHMSIZE', code: 'disk-full', sentence: 'There is no space left beside the workshop file' },
  {
    prefix: 'SQLITE_IOERR_FSYNC',
    code: 'disk-full',
    sentence: 'The system could not secure the last write on the disk',
  },
  { prefix: 'SQLITE_BUSY', code: 'file-busy', sentence: 'Another program keeps the workshop file locked' },
  { prefix: 'SQLITE_LOCKED', code: 'file-busy', sentence: 'Another program keeps the workshop file locked' },
  { prefix: 'SQLITE_CORRUPT', code: 'file-damaged', sentence: 'The workshop file is damaged' },
  { prefix: 'SQLITE_NOTADB', code: 'not-a-workshop', sentence: 'This is not a workshop file' },
  { prefix: 'SQLITE_READONLY', code: 'file-not-writable', sentence: 'The workshop file may only be read' },
  { prefix: 'SQLITE_CANTOPEN', code: 'file-not-readable', sentence: 'The workshop file cannot be opened' },
  { prefix: 'SQLITE_PERM', code: 'file-not-readable', sentence: 'The workshop file cannot be opened' },
  { prefix: 'SQLITE_IOERR', code: 'file-not-readable', sentence: 'The disk gave an error on the workshop file' },
]

const sqliteCode = (error: unknown): string | undefined =>
  error instanceof Error && 'code' in error && typeof error.code === 'string' && error.code.startsWith('SQLITE_')
    ? error.code
    : undefined

/** True when SQLite found that a file, or the folder it would make its log in, may not be written to. */
export const isReadOnlyError = (error: unknown): boolean =>
  /^SQLITE_(READONLY|CANTOPEN|PERM)/.test(sqliteCode(error) ?? '')

/**
 * Turns an error of SQLite that a user can cause or mend into one of the catalogue, with file and SQLite's own words.
 * Anything else (a broken constraint: our bug) comes back as it is.
 */
export function translateSqliteError(error: unknown, file: string): unknown {
  const code = sqliteCode(error)
  if (code === undefined || isBoardwrightError(error)) return error
  const meaning = meanings.find((m) => code.startsWith(m.prefix))
  if (!meaning) return error
  const words = (error as Error).message
  return new BoardwrightError(meaning.code, `${meaning.sentence}: ${file} (${words}, ${code}).`, { cause: error })
}

/** Runs `work`; what SQLite throws is translated. */
export function withTranslatedErrors<T>(file: string, work: () => T): T {
  try {
    return work()
  } catch (error) {
    throw translateSqliteError(error, file)
  }
}

/** The same object with every method's errors translated. */
export function translatingErrors<T extends object>(file: string, noun: T): T {
  const guarded = Object.entries(noun).map(([name, member]) => [
    name,
    typeof member === 'function'
      ? (...args: unknown[]) => withTranslatedErrors(file, () => member.apply(noun, args))
      : member,
  ])
  return Object.fromEntries(guarded) as T
}
