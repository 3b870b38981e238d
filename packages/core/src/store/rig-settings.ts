import { z } from 'zod'
import { RigSettings } from '../model/rig.ts'
import type { RigSettingsStore } from '../workshop/ports.ts'
import { readJson, readRow } from './read-row.ts'
import type { SqliteDatabase } from './sqlite.ts'

const Row = z.object({ name: z.string(), version: z.number(), changedAt: z.string(), content: z.string() })
const columns = 'name, version, changed_at AS changedAt, content'

function readSettings(raw: unknown): RigSettings {
  const { name, version } = raw as { name: string; version: number }
  const place = `settings ${version} of the rig "${name}"`
  const { content, ...head } = readRow(Row, raw, place)
  return readRow(RigSettings, { ...(readJson(content, place) as object), ...head }, place)
}

/** Settings of the rigs in the file; a version never changes once it is in. */
export function makeRigSettingsStore(db: SqliteDatabase): RigSettingsStore {
  const history = db.prepare(`SELECT ${columns} FROM rig_settings WHERE name = ? ORDER BY version DESC`)
  const newest = db.prepare(`SELECT ${columns} FROM rig_settings WHERE name = ? ORDER BY version DESC LIMIT 1`)
  const find = db.prepare(`SELECT ${columns} FROM rig_settings WHERE name = ? AND version = ?`)
  const all = db.prepare(`SELECT ${columns} FROM rig_settings ORDER BY name, version`)
  const insert = db.prepare(
    'INSERT INTO rig_settings (name, version, changed_at, content) VALUES (:name, :version, :changedAt, :content)',
  )
  const readOne = (raw: unknown) => (raw === undefined ? undefined : readSettings(raw))
  return {
    newest: (name) => readOne(newest.get(name)),
    find: ({ name, version }) => readOne(find.get(name, version)),
    history: (name) => history.all(name).map(readSettings),
    all: () => all.all().map(readSettings),
    insert(settings) {
      const { name, version, changedAt, ...content } = RigSettings.parse(settings)
      insert.run({ name, version, changedAt, content: JSON.stringify(content) })
    },
  }
}
