import { isBoardwrightError } from '../../../src/model/error.ts'
import { openStore } from '../../../src/store/open-store.ts'
import { makeWorkshop } from '../../../src/workshop/make-workshop.ts'

// A program of its own on a workshop file: starts builds of one unit until the parts run out, does a step of each, and prints
// the serial numbers it was given.

const [, , file, station] = process.argv as [string, string, string, string]
const workshop = makeWorkshop({ store: openStore(file), station })
for (;;) {
  try {
    const { build } = workshop.builds.start({ units: 1 })
    workshop.builds.recordWork({ buildId: build.id, step: 'trim', workedS: 1 })
    process.stdout.write(`${build.serials.join('\n')}\n`)
  } catch (error) {
    if (!isBoardwrightError(error) || error.code !== 'stock-short') throw error
    break
  }
}
workshop.close()
process.disconnect?.()
