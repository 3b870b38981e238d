import { resolve } from 'node:path'
import { BoardwrightError } from '../model/error.ts'
import type { Store } from '../workshop/ports.ts'
import { makeBuildStore } from './builds.ts'
import { copyTo } from './copy-to.ts'
import { makeDataVersion } from './data-version.ts'
import { findDefects } from './defects.ts'
import { makeDiagnosisStore } from './diagnoses.ts'
import { refuseOtherDatabase, refuseOtherFile } from './file-kind.ts'
import { makeGaugeStudyStore } from './gauge-studies.ts'
import { makeHardReferenceStore } from './hard-references.ts'
import { makeHardRunStore } from './hard-runs.ts'
import { makeJournalStore } from './journal.ts'
import { migrate } from './migrate.ts'
import { migrations } from './migrations.ts'
import { openForReading } from './open-for-reading.ts'
import { makePartLotStore } from './part-lots.ts'
import { makePartStore } from './parts.ts'
import { makeProductStore } from './products.ts'
import { makeReferenceStore } from './references.ts'
import { makeReworkStore } from './reworks.ts'
import { makeRigCheckStore } from './rig-checks.ts'
import { makeRigSettingsStore } from './rig-settings.ts'
import { makeRigUncertaintyStore } from './rig-uncertainties.ts'
import { openDatabase, type SqliteDatabase, usualBusyTimeoutMs } from './sqlite.ts'
import { isReadOnlyError, translateSqliteError, translatingErrors, withTranslatedErrors } from './sqlite-error.ts'
import { makeStockMovementStore } from './stock-movements.ts'
import { makeTestRunStore } from './test-runs.ts'
import { runSnapshot, runTransaction } from './transaction.ts'
import { makeUnitStore } from './units.ts'

export interface OpenStoreOptions {
  /** Make the file when it is not there. */
  create?: boolean
  readonly?: boolean
  /** How long to wait for another program that writes, ms. */
  busyTimeoutMs?: number
  /** Schema steps; the tests of the migrations hand in their own. */
  steps?: readonly string[]
}

type Settled = Required<OpenStoreOptions>

/**
 * Opens a workshop file (one SQLite database) and brings it to the newest schema. A file that may only be read is opened for
 * reading; what would write to it then fails with file-not-writable.
 * Errors: file-not-readable, file-not-writable, not-a-workshop, file-newer, file-damaged, file-busy, disk-full.
 */
export function openStore(path: string, options: OpenStoreOptions = {}): Store {
  const file = resolve(path)
  const settled = { create: false, readonly: false, steps: migrations, busyTimeoutMs: usualBusyTimeoutMs, ...options }
  refuseOtherFile(file, settled)
  return withTranslatedErrors(file, () => {
    try {
      return openPrepared(file, settled)
    } catch (error) {
      if (settled.readonly || !isReadOnlyError(error)) throw error
      return openPrepared(file, { ...settled, readonly: true })
    }
  })
}

function openPrepared(file: string, settled: Settled): Store {
  const db = settled.readonly
    ? openForReading(file, settled.busyTimeoutMs)
    : openDatabase({ ...settled, path: file, mustExist: !settled.create })
  try {
    prepare(db, file, settled)
    return bind(db, file)
  } catch (error) {
    db.close()
    throw error
  }
}

function prepare(db: SqliteDatabase, file: string, options: Settled): void {
  refuseOtherDatabase(db, file, options)
  if (options.readonly) refuseOlder(db, file, options.steps)
  else {
    switchToWriteAheadLog(db, options.busyTimeoutMs)
    // FULL: a commit is on the disk before it is said to be done; NORMAL would lose the last ones in a power cut.
    db.pragma('synchronous = FULL')
    // A step that rebuilds a table needs the checks off; `migrate` checks all rows before it commits.
    db.pragma('foreign_keys = OFF')
    migrate({ db, file, steps: options.steps })
  }
  db.pragma('foreign_keys = ON')
  // Without it, INSERT OR REPLACE would slip past the triggers that forbid deletion.
  db.pragma('recursive_triggers = ON')
}

/** A read-only store cannot migrate. */
function refuseOlder(db: SqliteDatabase, file: string, steps: readonly string[]): void {
  const version = db.pragma('user_version', { simple: true }) as number
  if (version > steps.length) migrate({ db, file, steps })
  if (version < steps.length)
    throw new BoardwrightError('file-not-writable', `${file} has the older schema ${version}.`, {
      remedy: 'Open it once for writing, so that it is brought up to date.',
    })
}

/** SQLite does not wait for a lock here by itself, and two programs may create one file at the same time. */
function switchToWriteAheadLog(db: SqliteDatabase, waitMs: number): void {
  const deadline = Date.now() + waitMs
  for (;;) {
    try {
      db.pragma('journal_mode = WAL')
      return
    } catch (error) {
      const isBusy = error instanceof Error && 'code' in error && String(error.code).startsWith('SQLITE_BUSY')
      if (!isBusy || Date.now() > deadline) throw error
      Atomics.wait(new Int32Array(new SharedArrayBuffer(4)), 0, 0, 20)
    }
  }
}

function bind(db: SqliteDatabase, file: string): Store {
  const translated = <T extends object>(noun: T): T => translatingErrors(file, noun)
  const nouns = {
    products: translated(makeProductStore(db)),
    units: translated(makeUnitStore(db)),
    references: translated(makeReferenceStore(db)),
    testRuns: translated(makeTestRunStore(db)),
    diagnoses: translated(makeDiagnosisStore(db)),
    reworks: translated(makeReworkStore(db)),
    rigSettings: translated(makeRigSettingsStore(db)),
    rigChecks: translated(makeRigCheckStore(db)),
    gaugeStudies: translated(makeGaugeStudyStore(db)),
    rigUncertainties: translated(makeRigUncertaintyStore(db)),
    hardRuns: translated(makeHardRunStore(db)),
    hardReferences: translated(makeHardReferenceStore(db)),
    parts: translated(makePartStore(db)),
    partLots: translated(makePartLotStore(db)),
    stockMovements: translated(makeStockMovementStore(db)),
    builds: translated(makeBuildStore(db)),
    journal: translated(makeJournalStore(db)),
  }
  return {
    file,
    ...nouns,
    transaction: (work) => withTranslatedErrors(file, () => runTransaction(db, work)),
    snapshot: (work) => withTranslatedErrors(file, () => runSnapshot(db, work)),
    dataVersion: translated({ read: makeDataVersion(db) }).read,
    defects: () => withTranslatedErrors(file, () => findDefects(db, nouns)),
    copyTo: (what) =>
      copyTo({ ...what, db, file, open: (path) => openStore(path) }).catch((error: unknown) => {
        throw translateSqliteError(error, file)
      }),
    close: () => {
      db.close()
    },
  }
}
