import { rmSync } from 'node:fs'
import { BoardwrightError } from '../model/error.ts'
import { applicationId, type SqliteDatabase } from './sqlite.ts'
import { nameFinishedFile } from './write-aside.ts'

const versionOf = (db: SqliteDatabase): number => db.pragma('user_version', { simple: true }) as number

/**
 * Brings a workshop file to the newest schema: all steps in one transaction, so that a failure leaves the old file. A
 * file that already holds data is copied beside itself first, to `FILE.schema-N.TIME.backup`.
 * @param options.steps SQL, step n leads to schema n
 * @returns the path of the copy, when one was made
 * Errors: file-newer, disk-full, file-busy.
 */
export function migrate(options: { db: SqliteDatabase; file: string; steps: readonly string[] }): string | undefined {
  const { db, file, steps } = options
  const found = versionOf(db)
  refuseNewer(found, options)
  if (found === steps.length) return undefined
  const copy = found > 0 ? copyBefore({ db, file, version: found }) : undefined
  db.transaction(() => {
    // Another program may have migrated while this one waited for the lock.
    const version = versionOf(db)
    refuseNewer(version, options)
    for (const step of steps.slice(version)) db.exec(step)
    db.pragma(`application_id = ${applicationId}`)
    db.pragma(`user_version = ${steps.length}`)
    if ((db.pragma('foreign_key_check') as unknown[]).length > 0)
      throw new BoardwrightError('file-damaged', `The rows of ${file} do not fit together, so it was left as it is.`)
  }).immediate()
  return copy
}

function refuseNewer(version: number, options: { file: string; steps: readonly string[] }): void {
  if (version > options.steps.length)
    throw new BoardwrightError(
      'file-newer',
      `${options.file} has schema ${version}; this program knows schemas up to ${options.steps.length}.`,
    )
}

/**
 * A copy of the last committed state, secured on the disk; undefined when another program has migrated the file by
 * then, for it has made the copy. A copy that could not be finished is taken away again.
 */
function copyBefore(options: { db: SqliteDatabase; file: string; version: number }): string | undefined {
  const time = new Date().toISOString().replace(/[-:]|\.\d+/g, '')
  const path = `${options.file}.schema-${options.version}.${time}.backup`
  const part = `${path}.part-${process.pid}`
  try {
    options.db.prepare('VACUUM INTO ?').run(part)
    if (versionOf(options.db) !== options.version) return undefined
    nameFinishedFile(part, path)
  } finally {
    rmSync(part, { force: true })
  }
  return path
}
