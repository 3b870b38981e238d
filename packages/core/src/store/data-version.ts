import type { SqliteDatabase } from './sqlite.ts'

/**
 * A counter that has grown whenever anyone has written to the file. SQLite's `data_version` tells of other connections
 * only (and does not promise to grow), `total_changes` of this one only: both are watched.
 */
export function makeDataVersion(db: SqliteDatabase): () => number {
  const others = db.prepare('PRAGMA data_version').pluck()
  const own = db.prepare('SELECT total_changes()').pluck()
  let seen: unknown = others.get()
  let changes = 0
  return () => {
    const now = others.get()
    if (now !== seen) changes++
    seen = now
    return changes + (own.get() as number)
  }
}
