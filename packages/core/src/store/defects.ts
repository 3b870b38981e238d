import { isBoardwrightError } from '../model/error.ts'
import type { Store, StoreDefect } from '../workshop/ports.ts'
import { journalDefects } from './journal.ts'
import type { SqliteDatabase } from './sqlite.ts'

type ReadableNouns = Pick<
  Store,
  | 'products'
  | 'units'
  | 'references'
  | 'reworks'
  | 'rigSettings'
  | 'hardReferences'
  | 'hardRuns'
  | 'rigChecks'
  | 'gaugeStudies'
  | 'parts'
  | 'partLots'
  | 'stockMovements'
  | 'builds'
>

/** What is wrong with the file itself: its pages and indexes, foreign keys, journal, rows that cannot be read. */
export function findDefects(db: SqliteDatabase, nouns: ReadableNouns): StoreDefect[] {
  const pages = (db.pragma('integrity_check') as { integrity_check: string }[]).map((row) => row.integrity_check)
  const structure = pages.filter((message) => message !== 'ok')
  // A broken page makes every further look at the file a guess.
  if (structure.length > 0) return structure.map((message) => ({ code: 'file-structure', message }))
  const orphans = db.pragma('foreign_key_check') as { table: string; rowid: number | null; parent: string }[]
  return [
    ...orphans.map((row) => ({
      code: 'foreign-key' as const,
      message: `Row ${row.rowid ?? '?'} of "${row.table}" points to a missing row of "${row.parent}".`,
    })),
    ...journalDefects(db),
    ...unreadable(nouns),
  ]
}

function unreadable(nouns: ReadableNouns): StoreDefect[] {
  const defects: StoreDefect[] = []
  const read = (work: () => unknown) => {
    try {
      work()
    } catch (error) {
      if (!isBoardwrightError(error) || error.code !== 'file-damaged') throw error
      defects.push({ code: 'row-not-readable', message: error.message })
    }
  }
  let productIds: string[] = []
  read(() => {
    productIds = nouns.products.list().map((product) => product.id)
  })
  for (const id of productIds) {
    read(() => nouns.products.revisions(id))
    read(() => nouns.references.list(id))
    read(() => nouns.hardReferences.list(id))
    read(() => nouns.rigChecks.list({ productId: id, limit: -1 }))
    read(() => nouns.gaugeStudies.list(id).map((study) => nouns.gaugeStudies.curves(study.id)))
  }
  read(() => nouns.units.list({}))
  read(() => nouns.parts.list().map(({ number }) => nouns.parts.history(number)))
  read(() => nouns.partLots.list({}).map(({ id }) => [nouns.partLots.readings(id), nouns.stockMovements.ofLot(id)]))
  read(() => nouns.builds.list({}).map(({ id }) => nouns.builds.work({ buildId: id })))
  for (const id of nouns.hardRuns.ids()) read(() => nouns.hardRuns.find(id))
  read(() => nouns.reworks.all())
  read(() => nouns.rigSettings.all())
  return defects
}
