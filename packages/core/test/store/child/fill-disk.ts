import { isBoardwrightError } from '../../../src/model/error.ts'
import { openStore } from '../../../src/store/open-store.ts'
import { impulseResponses, product, reference, testRun, unit } from '../sample-rows.ts'

// Writes units with their runs until the disk (or the limit set on this process) is full, then says what it met.

const [, , file] = process.argv
let written = 0
try {
  const store = openStore(file, { create: true })
  store.transaction(() => {
    store.products.insert({ product, at: new Date().toISOString() })
    store.references.insert(reference(1))
  })
  for (;;) {
    const serial = `FULL-${written + 1}`
    store.transaction(() => {
      store.units.insert(unit(serial))
      const run = testRun(`R-${serial}`, serial, 'pass', 2 * written)
      store.testRuns.insert({ run, impulseResponses: impulseResponses(written, 32_000) })
      store.units.update({ serial, state: 'ready', lastRunId: run.id, updatedAt: run.startedAt })
    })
    written++
  }
} catch (error) {
  const code = isBoardwrightError(error) ? error.code : 'bug'
  const message = error instanceof Error ? error.message : String(error)
  process.stdout.write(JSON.stringify({ written, code, message }))
}
