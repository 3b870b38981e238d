import { readFileSync, statSync } from 'node:fs'
import Database from 'better-sqlite3'
import { openDatabase, type SqliteDatabase } from './sqlite.ts'

/** Where the file format keeps its write and read version; 2 is write-ahead log, 1 is not. */
const versionBytes = [18, 19]

/**
 * Opens a database that may not be written to, be it its file or its folder. SQLite itself cannot read a file with a
 * write-ahead log in such a folder, for it would have to make two files there; when nothing waits in a log, the file is
 * whole and is read into memory. Whatever is written then fails with SQLITE_READONLY.
 * Source: "Database File Format" of the SQLite documentation, 1.3.3; "Write-Ahead Logging", read-only databases.
 */
export function openForReading(path: string, busyTimeoutMs: number): SqliteDatabase {
  const db = openDatabase({ path, readonly: true, mustExist: true, busyTimeoutMs })
  try {
    db.prepare('SELECT count(*) FROM sqlite_schema').get()
    return db
  } catch (error) {
    db.close()
    if ((statSync(`${path}-wal`, { throwIfNoEntry: false })?.size ?? 0) > 0) throw error
    return readIntoMemory(path)
  }
}

function readIntoMemory(path: string): SqliteDatabase {
  const bytes = readFileSync(path)
  for (const at of versionBytes) bytes[at] = 1
  const db = new Database(bytes)
  db.pragma('query_only = ON')
  return db
}
