import type { VerbContext } from '../verb-context.ts'
import { countLot } from './count-lot.ts'
import { decideLot } from './decide-lot.ts'
import { importStock } from './import-stock.ts'
import { inspectPiece } from './inspect-piece.ts'
import { listParts, showPart } from './list-parts.ts'
import { receiveLot } from './receive-lot.ts'
import { savePart } from './save-part.ts'
import { listLots, showLot } from './show-lot.ts'
import type { StockVerbs } from './stock-verbs.ts'
import { traceLot } from './trace-lot.ts'

/** Binds the verbs about parts and lots to one workshop file. */
export const makeStockVerbs = (context: VerbContext): StockVerbs => ({
  parts: () => listParts(context),
  part: (number) => showPart(context, number),
  savePart: (changes) => savePart(context, changes),
  lots: (query = {}) => listLots(context, query),
  lot: (id) => showLot(context, id),
  receiveLot: (what) => receiveLot(context, what),
  countLot: (what) => countLot(context, what),
  inspectPiece: (what) => inspectPiece(context, what),
  decideLot: (what) => decideLot(context, what),
  importStock: (what) => importStock(context, what),
  traceLot: (id) => traceLot(context, id),
})
