import type { SqliteDatabase } from './sqlite.ts'

/**
 * Runs `work` in one write transaction that takes the write lock at once, so that two programs queue up instead of
 * colliding half-way. What it throws undoes everything it wrote. A call inside another is part of it (a savepoint).
 */
export function runTransaction<T>(db: SqliteDatabase, work: () => T): T {
  return db.transaction(() => refusePromise(work())).immediate()
}

/** Runs `work` on one unchanging view of the file, whatever other programs write meanwhile. */
export function runSnapshot<T>(db: SqliteDatabase, work: () => T): T {
  return db.transaction(() => refusePromise(work())).deferred()
}

/** Asynchronous work would go on after the transaction has ended, and its writes would stand alone. */
function refusePromise<T>(result: T): T {
  if (result instanceof Promise) throw new Error('the work of a transaction must be synchronous')
  return result
}
