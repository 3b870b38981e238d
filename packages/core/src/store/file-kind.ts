import { closeSync, openSync, readSync, statSync } from 'node:fs'
import { dirname } from 'node:path'
import { BoardwrightError } from '../model/error.ts'
import { applicationId, type SqliteDatabase } from './sqlite.ts'

// Source: "Database File Format" of the SQLite documentation, section 1.3: the first 16 bytes of every file.
const magic = 'SQLite format 3\0'

/**
 * Looks at a path before SQLite does, so that another kind of file is never touched.
 * Errors: file-not-readable, file-not-writable, not-a-workshop.
 */
export function refuseOtherFile(file: string, options: { create: boolean }): void {
  const stat = statSync(file, { throwIfNoEntry: false })
  if (!stat) {
    if (!options.create)
      throw new BoardwrightError('file-not-readable', `There is no workshop file at ${file}.`, {
        remedy: 'Check the path, or make a new workshop there.',
      })
    if (!statSync(dirname(file), { throwIfNoEntry: false })?.isDirectory())
      throw new BoardwrightError('file-not-writable', `There is no folder ${dirname(file)} for the workshop file.`)
    return
  }
  if (!stat.isFile()) throw new BoardwrightError('not-a-workshop', `${file} is not a file.`)
  if (stat.size === 0 && options.create) return
  if (firstBytes(file, magic.length) !== magic)
    throw new BoardwrightError('not-a-workshop', `${file} is a file of another kind.`)
}

function firstBytes(file: string, count: number): string {
  try {
    const handle = openSync(file, 'r')
    try {
      const bytes = Buffer.alloc(count)
      return bytes.toString('latin1', 0, readSync(handle, bytes, 0, count, 0))
    } finally {
      closeSync(handle)
    }
  } catch (cause) {
    throw new BoardwrightError('file-not-readable', `${file} cannot be read.`, { cause })
  }
}

/** Errors: not-a-workshop for a database that another program has made, or (unless it may be filled) an empty one. */
export function refuseOtherDatabase(db: SqliteDatabase, file: string, options: { create: boolean }): void {
  const id = db.pragma('application_id', { simple: true })
  if (id === applicationId) return
  const objects = db.prepare('SELECT count(*) FROM sqlite_schema').pluck().get()
  const isEmpty = id === 0 && objects === 0 && db.pragma('user_version', { simple: true }) === 0
  if (!(isEmpty && options.create))
    throw new BoardwrightError('not-a-workshop', `${file} is a database, but not one of Boardwright's workshops.`)
}
