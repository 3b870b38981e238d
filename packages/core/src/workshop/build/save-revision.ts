import type { Product } from '../../model/product.ts'
import { addProduct } from '../add-product.ts'
import type { TableReport } from '../table/import-report.ts'
import type { VerbContext } from '../verb-context.ts'
import type { ImportedRevision, ImportRevision } from './build-verbs.ts'

/**
 * Keeps a product changed by a table as a new revision, when that is wanted and no line was refused.
 * Errors: bad-product, revision-frozen.
 */
export function saveRevision(
  context: VerbContext,
  what: { wanted: ImportRevision; report: TableReport; changed: Product; missing: string[] },
): ImportedRevision {
  const { wanted, report, changed, missing } = what
  const isRefused = report.refused.length > 0 && !wanted.skipRefused
  if (wanted.saveAs === undefined || wanted.check || isRefused || report.taken === 0)
    return { ...report, product: null, missing }
  const revisionDate = context.clock.now().toISOString().slice(0, 10)
  const product = addProduct(context, { ...changed, revision: wanted.saveAs, revisionDate } satisfies Product)
  return { ...report, product, missing }
}
