import { migrations } from '../../../src/store/migrations.ts'
import { openStore } from '../../../src/store/open-store.ts'

// Opens a workshop file with one schema step more than there is, and prints the first serial number.

const store = openStore(process.argv[2], { steps: [...migrations, 'CREATE TABLE later (a TEXT) STRICT'] })
process.stdout.write(store.units.list({})[0]?.serial ?? '')
store.close()
process.disconnect?.()
