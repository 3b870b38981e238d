import { openStore } from '../../../src/store/open-store.ts'
import { impulseResponses, product, reference, testRun, unit } from '../sample-rows.ts'

// A program of its own on a workshop file: registers units and stores a run of each, one transaction a unit, and prints
// each serial number once its transaction is committed.

const [, , file, prefix, count] = process.argv
const store = openStore(file, { create: true })
store.transaction(() => {
  if (!store.products.find({ id: product.id })) {
    store.products.insert({ product, at: new Date().toISOString() })
    store.references.insert(reference(1))
  }
})
process.stdout.write('open\n')
for (let i = 1; i <= Number(count); i++) {
  const serial = `${prefix}-${i}`
  store.transaction(() => {
    // Looks before it writes, as the verbs do: a transaction that did not lock at once would now collide.
    if (store.units.find(serial)) throw new Error(`${serial} is there already`)
    const at = new Date().toISOString()
    store.units.insert(unit(serial, { createdAt: at, updatedAt: at }))
    store.journal.append({ at, station: prefix, verb: 'register-unit', noun: 'unit', key: serial, detail: {} })
    const run = testRun(`R-${serial}`, serial, 'pass', 2 * i)
    store.testRuns.insert({ run, impulseResponses: impulseResponses(i) })
    store.units.update({ serial, state: 'ready', lastRunId: run.id, updatedAt: at })
    store.journal.append({ at, station: prefix, verb: 'record-test-run', noun: 'test-run', key: run.id, detail: {} })
  })
  process.stdout.write(`${serial}\n`)
}
store.close()
process.disconnect?.()
