import { join } from 'node:path'
import { openStore } from '../../src/store/open-store.ts'
import { makeWorkshop } from '../../src/workshop/make-workshop.ts'
import type { Workshop } from '../../src/workshop/workshop.ts'
import { temporaryFolder } from '../store/temporary-folder.ts'
import { product } from './rig-recordings.ts'

/** A clock that moves on by a second whenever it is looked at. */
function steppingClock(start = '2026-03-04T09:00:00.000Z') {
  let time = Date.parse(start)
  return {
    now() {
      time += 1000
      return new Date(time)
    },
  }
}

/** A workshop in a new file, with the product in it unless told. */
export function newWorkshop(options: { withProduct?: boolean; file?: string; station?: string } = {}): Workshop {
  const { file = join(temporaryFolder(), 'workshop.boardwright'), station = 'bench', withProduct = true } = options
  const workshop = makeWorkshop({ store: openStore(file, { create: true }), clock: steppingClock(), station })
  if (withProduct) workshop.addProduct(product)
  return workshop
}
