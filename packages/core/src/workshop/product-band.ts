import { bandFromTolerance, yieldUnder } from '../circuit/band-from-tolerance.ts'
import { prepareCircuit } from '../circuit/prepare-circuit.ts'
import { drawCloud, type ToleranceCloud } from '../circuit/tolerance-cloud.ts'
import { BoardwrightError } from '../model/error.ts'
import type { Product, ToleranceBand } from '../model/product.ts'
import { addProduct } from './add-product.ts'
import { bandByHand } from './band-by-hand.ts'
import { bandOfUnits } from './band-of-units.ts'
import { currentReference } from './current-reference.ts'
import { findProduct } from './find-product.ts'
import { nowOf, type VerbContext, writeJournal } from './verb-context.ts'
import type { BandBasis, ProductBand, ProductBandReport } from './workshop.ts'

/** Boards drawn for a band: enough that a yield of 99.5 % is known to a tenth of a per cent. */
const boards = 4000
/** The boards that a yield is counted on are others than those a band was made from. */
const seeds = { made: 1, counted: 2 }

/**
 * Makes the tolerance band of a product: from its parts' tolerances, from breakpoints by hand, or from the last units that
 * passed. With `saveAs` the product gets it as a new revision, for a revision never changes.
 * Errors: bad-argument, bad-circuit, no-reference, not-found, revision-frozen, setting-unknown, too-few-units.
 */
export function productBand(context: VerbContext, what: ProductBand): ProductBandReport {
  const product = findProduct(context, what.productId)
  refuseBadFrequencies(what)
  const { bands, basis } = makeBands(context, product, what)
  const settings = product.settings.filter(({ name }) => bands.some((band) => band.setting === name))
  const counted = drawCloud({ netlist: prepareCircuit(product.circuit), settings, boards, seed: seeds.counted })
  const report = {
    productId: product.id,
    basis,
    bands,
    before: product.testPlan.bands,
    healthyShare: { bands: yieldUnder({ cloud: counted, bands }), before: shareBefore(counted, product) },
  }
  return { ...report, product: what.saveAs ? save(context, product, { ...what.saveAs, bands, basis }) : null }
}

const shareBefore = (cloud: ToleranceCloud, { testPlan }: Product): number =>
  yieldUnder({ cloud, bands: testPlan.bands })

function makeBands(
  context: VerbContext,
  product: Product,
  { from, breakpointsHz }: ProductBand,
): { bands: ToleranceBand[]; basis: BandBasis } {
  if (from.kind === 'by-hand') return { bands: bandByHand(product, from.points), basis: { kind: from.kind } }
  if (from.kind === 'units') {
    const reference = currentReference(context, product)
    if (!reference) throw new BoardwrightError('no-reference', `${product.name} has no reference yet.`)
    const made = bandOfUnits(context.store, { product, reference, last: from.last, breakpointsHz })
    const basis = { kind: from.kind, serials: made.serials, referenceVersion: reference.version }
    return { bands: withOthers(product, made.bands), basis }
  }
  const wanted = from.yield ?? 0.995
  if (!(wanted > 0.5 && wanted < 1))
    throw new BoardwrightError('bad-argument', 'The wanted yield must lie between 0.5 and 1, such as 0.995.')
  const netlist = prepareCircuit(product.circuit)
  const settings = product.settings.filter(({ name }) => product.testPlan.bands.some((band) => band.setting === name))
  const cloud = drawCloud({ netlist, settings, boards, seed: seeds.made })
  const made = bandFromTolerance({ cloud, yield: wanted, widenDb: from.widenDb, breakpointsHz })
  return { bands: withOthers(product, made), basis: { kind: from.kind, boards, yield: wanted } }
}

/** New breakpoints in the bands as they stand: whether the level counts stays, and so do bands that got none. */
const withOthers = ({ testPlan }: Product, made: readonly ToleranceBand[]): ToleranceBand[] =>
  testPlan.bands.map((band) => {
    const breakpoints = made.find(({ setting }) => setting === band.setting)?.breakpoints
    return breakpoints ? { ...band, breakpoints } : band
  })

function refuseBadFrequencies({ breakpointsHz }: ProductBand): void {
  if (!breakpointsHz) return
  const rising = breakpointsHz.every((hz, i) => hz > (i === 0 ? 0 : breakpointsHz[i - 1]))
  if (breakpointsHz.length < 2 || !rising)
    throw new BoardwrightError('bad-argument', 'Give at least two frequencies, rising, for the band to bend at.')
}

function save(
  context: VerbContext,
  product: Product,
  what: { revision: string; bands: ToleranceBand[]; basis: BandBasis },
): Product {
  const { revision, bands, basis } = what
  return context.store.transaction(() => {
    if (context.store.products.find({ id: product.id, revision }))
      throw new BoardwrightError('revision-frozen', `${product.name} revision ${revision} is there already.`)
    const at = nowOf(context)
    const testPlan = { ...product.testPlan, bands }
    const added = addProduct(context, { ...product, revision, revisionDate: at.slice(0, 10), testPlan })
    const detail = { revision, from: product.revision, basis }
    writeJournal(context, { at, verb: 'product-band', noun: 'product', key: product.id, detail })
    return added
  })
}
