import { BoardwrightError } from '../../model/error.ts'
import type { PartVersion } from '../../model/part.ts'
import type { LotInStock } from '../../model/part-lot.ts'
import type { VerbContext } from '../verb-context.ts'
import { readPartNumber } from './find-lot.ts'
import type { PartRow, StockVerbs } from './stock-verbs.ts'

function withStock(part: PartVersion, lots: readonly LotInStock[]): PartRow {
  const own = lots.filter((lot) => lot.part === part.number)
  const sum = (states: readonly LotInStock['state'][]) =>
    own.filter(({ state }) => states.includes(state)).reduce((total, { stock }) => total + stock, 0)
  return { ...part, stock: sum(['accepted']), waiting: sum(['held', 'awaiting-inspection']), lots: own.length }
}

/** Every part, by number, with what there is of it. */
export const listParts = ({ store }: Pick<VerbContext, 'store'>): PartRow[] =>
  store.snapshot(() => {
    const lots = store.partLots.list({})
    return store.parts.list().map((part) => withStock(part, lots))
  })

/** A part with its versions and lots. Errors: bad-argument, not-found. */
export function showPart({ store }: Pick<VerbContext, 'store'>, text: string): ReturnType<StockVerbs['part']> {
  const number = readPartNumber(text)
  return store.snapshot(() => {
    const versions = store.parts.history(number)
    const [newest] = versions
    if (!newest) throw new BoardwrightError('not-found', `There is no part ${number} in this workshop.`)
    const lots = store.partLots.list({ part: number })
    return { part: withStock(newest, lots), versions, lots }
  })
}
