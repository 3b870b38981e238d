import { existsSync, rmSync, statSync } from 'node:fs'
import { basename, dirname, join } from 'node:path'
import { BoardwrightError } from '../model/error.ts'
import type { Store } from '../workshop/ports.ts'
import type { SqliteDatabase } from './sqlite.ts'
import { nameFinishedFile } from './write-aside.ts'

export interface CopyOptions {
  db: SqliteDatabase
  /** The file that is copied. */
  file: string
  path: string
  at: Date
  open: (path: string) => Store
  prove: (copy: Store) => void
}

/**
 * Copies a workshop file in use by SQLite's online backup to a file aside, opens it, proves it, secures it on the disk
 * and only then gives it its name: what carries the name is a proven copy.
 * Errors: file-not-writable, disk-full, and what `prove` throws.
 */
export async function copyTo(options: CopyOptions): Promise<{ path: string; bytes: number }> {
  const path = freePath(options)
  const part = `${path}.part-${process.pid}`
  try {
    await options.db.backup(part)
    const copy = options.open(part)
    try {
      options.prove(copy)
    } finally {
      copy.close()
    }
    nameFinishedFile(part, path)
  } catch (error) {
    throw notWritable(error, path)
  } finally {
    for (const suffix of ['', '-wal', '-shm', '-journal']) rmSync(part + suffix, { force: true })
  }
  return { path, bytes: statSync(path).size }
}

function freePath({ file, path, at }: CopyOptions): string {
  const isFolder = statSync(path, { throwIfNoEntry: false })?.isDirectory() ?? false
  const time = at.toISOString().replace(/[-:]|\.\d+/g, '')
  const free = isFolder ? join(path, `${basename(file)}.${time}.backup`) : path
  if (existsSync(free))
    throw new BoardwrightError('file-not-writable', `There is a file already: ${free}.`, {
      remedy: 'Name a new file, or a folder: the backup then gets the date in its name.',
    })
  if (!existsSync(dirname(free)))
    throw new BoardwrightError('file-not-writable', `There is no folder for the backup ${free}.`)
  return free
}

/** The system's own errors of opening and writing a file, as one of the catalogue. */
function notWritable(error: unknown, path: string): unknown {
  const code = error instanceof Error && 'code' in error ? error.code : undefined
  if (code === 'ENOSPC')
    return new BoardwrightError('disk-full', `There is no space left for the backup ${path}.`, { cause: error })
  if (code === 'SQLITE_CANTOPEN' || code === 'EACCES' || code === 'ENOENT' || code === 'EROFS' || code === 'ENOTDIR')
    return new BoardwrightError('file-not-writable', `The backup ${path} cannot be written.`, { cause: error })
  return error
}
