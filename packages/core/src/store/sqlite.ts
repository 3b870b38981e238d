import Database from 'better-sqlite3'

/** The database handle that the nouns of the store are made on. */
export type SqliteDatabase = Database.Database

/** "BwWs": marks a file as a workshop in SQLite's header, so that another program's file is never written to. */
export const applicationId = 0x42775773

/** How long a writer waits for another program before it gives up, ms. A waiting writer was seen to need 4 s. */
export const usualBusyTimeoutMs = 10_000

/** Opens a database file without touching it yet. */
export function openDatabase(options: {
  path: string
  readonly: boolean
  mustExist: boolean
  busyTimeoutMs: number
}): SqliteDatabase {
  return new Database(options.path, {
    readonly: options.readonly,
    fileMustExist: options.mustExist,
    timeout: options.busyTimeoutMs,
  })
}
