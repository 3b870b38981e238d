import { Product } from '../model/product.ts'
import type { ProductStore } from '../workshop/ports.ts'
import { readJson, readRow } from './read-row.ts'
import type { SqliteDatabase } from './sqlite.ts'

type Row = { id: string; revision: string; content: string }

/** Keeps the last few products as read: each verb needs one, and checking a whole circuit takes a millisecond. */
function makeProductReader(): (row: unknown) => Product {
  const known = new Map<string, Product>()
  return (row) => {
    const { id, revision, content } = row as Row
    const place = `product ${id} revision ${revision}`
    // Found by its text, so that a text changed behind our back is checked again.
    const product = known.get(content) ?? readRow(Product, readJson(content, place), place)
    if (known.size >= 16) known.clear()
    known.set(content, product)
    return product
  }
}

/** Products in the file, one row a revision; a revision never changes once it is in. */
export function makeProductStore(db: SqliteDatabase): ProductStore {
  const readProduct = makeProductReader()
  const newest = db.prepare(
    'SELECT id, revision, content FROM product WHERE seq IN (SELECT max(seq) FROM product GROUP BY id) ORDER BY id',
  )
  const revisions = db.prepare('SELECT id, revision, content FROM product WHERE id = ? ORDER BY seq DESC')
  const newestOf = db.prepare('SELECT id, revision, content FROM product WHERE id = ? ORDER BY seq DESC LIMIT 1')
  const byRevision = db.prepare('SELECT id, revision, content FROM product WHERE id = ? AND revision = ?')
  const insert = db.prepare('INSERT INTO product (id, revision, added_at, content) VALUES (?, ?, ?, ?)')
  return {
    list: () => newest.all().map(readProduct),
    revisions: (id) => revisions.all(id).map(readProduct),
    find({ id, revision }) {
      const row = revision === undefined ? newestOf.get(id) : byRevision.get(id, revision)
      return row === undefined ? undefined : readProduct(row)
    },
    insert({ product, at }) {
      insert.run(product.id, product.revision, at, JSON.stringify(product))
    },
  }
}
