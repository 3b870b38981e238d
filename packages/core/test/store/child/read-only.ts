import { isBoardwrightError } from '../../../src/model/error.ts'
import { openStore } from '../../../src/store/open-store.ts'
import { unit } from '../sample-rows.ts'

// Opens a workshop file that may only be read: lists its units, then tries to add one.

const store = openStore(process.argv[2])
const units = store.units.list({}).map(({ serial }) => serial)
let code = 'written'
try {
  store.transaction(() => store.units.insert(unit('LATE-1')))
} catch (error) {
  code = isBoardwrightError(error) ? error.code : String(error)
}
process.stdout.write(JSON.stringify({ units, code, after: store.units.list({}).length, defects: store.defects() }))
store.close()
