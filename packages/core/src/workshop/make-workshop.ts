import { addProduct } from './add-product.ts'
import { addReference } from './add-reference.ts'
import { backUp } from './back-up.ts'
import { makeBuildVerbs } from './build/make-build-verbs.ts'
import { checkWorkshop } from './check-workshop.ts'
import { currentReference } from './current-reference.ts'
import { diagnoseRun } from './diagnose-run.ts'
import { diagnosisFigures } from './diagnosis-figures.ts'
import { findProduct } from './find-product.ts'
import { journalSince, runsSince } from './follow.ts'
import { makeGaugeStudies } from './gauge-study/make-gauge-studies.ts'
import { makeHardVerbs } from './hard/make-hard-verbs.ts'
import { measureAhead } from './measure-ahead.ts'
import type { Clock, Store } from './ports.ts'
import { prepareRun } from './prepare-run.ts'
import { productBand } from './product-band.ts'
import { recordRework } from './record-rework.ts'
import { recordTestRun } from './record-test-run.ts'
import { registerUnit } from './register-unit.ts'
import { rejudge } from './rejudge.ts'
import { makeRigVerbs } from './rig/make-rig-verbs.ts'
import { makeRigChecks } from './rig-check/make-rig-checks.ts'
import { showDiagnosis } from './show-diagnosis.ts'
import { showTestRun } from './show-test-run.ts'
import { showUnit } from './show-unit.ts'
import { makeStockVerbs } from './stock/make-stock-verbs.ts'
import { summarise } from './summarise.ts'
import type { Workshop } from './workshop.ts'

/**
 * Binds every verb to one workshop file.
 * @param deps.store an opened workshop file
 * @param deps.clock tells the time; by default the computer's
 * @param deps.station name of the place that works here, such as "bench": it stands in the journal
 */
export function makeWorkshop(deps: { store: Store; clock?: Clock; station: string }): Workshop {
  const { store, station } = deps
  const context = { store, station, clock: deps.clock ?? { now: () => new Date() } }
  return {
    file: store.file,
    station,
    products: () => store.products.list(),
    product: (id, revision) => findProduct(context, id, revision),
    addProduct: (product) => addProduct(context, product),
    productBand: (what) => productBand(context, what),
    units: (query = {}) => store.units.list(query),
    unit: (serial) => showUnit(context, serial),
    registerUnit: (what) => registerUnit(context, what),
    nextToTest: () => store.units.firstUntested(),
    addReference: (what) => addReference(context, what),
    references: (productId) => store.references.list(findProduct(context, productId).id),
    currentReference: (productId) => currentReference(context, findProduct(context, productId)),
    measureAhead: (what) => measureAhead(context, what),
    prepareRun: (what) => prepareRun(context, what),
    recordTestRun: (what) => recordTestRun(context, what),
    testRun: (id) => showTestRun(context, id),
    rejudge: (id) => rejudge(context, id),
    diagnoseRun: (what) => diagnoseRun(context, what),
    diagnosis: (runId) => showDiagnosis(context, runId),
    diagnosisFigures: () => diagnosisFigures(context),
    recordRework: (what) => recordRework(context, what),
    hard: makeHardVerbs(context),
    rig: makeRigVerbs(context),
    rigChecks: makeRigChecks(context),
    gaugeStudies: makeGaugeStudies(context),
    stock: makeStockVerbs(context),
    builds: makeBuildVerbs(context),
    runsSince: (seq) => runsSince(context, seq),
    journalSince: (seq, limit) => journalSince(context, seq, limit),
    lastSeq: () => store.journal.lastSeq(),
    dataVersion: () => store.dataVersion(),
    summary: () => summarise(context),
    check: () => checkWorkshop(context),
    backup: (path) => backUp(context, path),
    close: () => store.close(),
  }
}
