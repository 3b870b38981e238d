import Database from 'better-sqlite3'
import { schema1 } from '../../src/store/schema-1.ts'
import { applicationId } from '../../src/store/sqlite.ts'

const tables = [
  'product',
  'reference',
  'reference_setting',
  'unit',
  'test_run',
  'measurement',
  'impulse_response',
  'journal',
]

/**
 * Makes a workshop file as the program of schema 1 left it: its schema, and the rows of a workshop of today that uses
 * nothing newer. Column by column the same, which SQLite checks as it copies.
 */
export function makeVersion1File(what: { from: string; path: string }): void {
  const db = new Database(what.path)
  try {
    db.pragma('foreign_keys = OFF')
    db.exec(schema1)
    db.prepare('ATTACH ? AS today').run(what.from)
    for (const table of tables) {
      const columns = db.prepare(`SELECT name FROM pragma_table_info(?)`).pluck().all(table).join(', ')
      if (table !== 'unit') {
        db.exec(`INSERT INTO main.${table} (${columns}) SELECT ${columns} FROM today.${table} ORDER BY rowid`)
        continue
      }
      // A unit begins untested; its state is set when its runs are there.
      const begun = columns.replace('state', "'untested'").replace('last_run_id', 'NULL')
      db.exec(`INSERT INTO main.unit (${columns}) SELECT ${begun} FROM today.unit`)
    }
    db.exec(
      `UPDATE main.unit SET (state, last_run_id) =
         (SELECT state, last_run_id FROM today.unit AS now WHERE now.serial = unit.serial)`,
    )
    db.exec('DETACH today')
    db.pragma(`application_id = ${applicationId}`)
    db.pragma('user_version = 1')
  } finally {
    db.close()
  }
}
