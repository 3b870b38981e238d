import { BoardwrightError } from '../../model/error.ts'
import { isRefused } from '../../model/finding.ts'
import type { HardReference } from '../../model/hard-run.ts'
import type { HardSignature } from '../../model/hard-signature.ts'
import { findProduct } from '../find-product.ts'
import { nowOf, type VerbContext, writeJournal } from '../verb-context.ts'
import { planWithHard } from './hard-plan-of.ts'
import type { HardVerbs } from './hard-verbs.ts'
import { measureSupplies } from './measure-supplies.ts'

/** Makes the next version of the reference board's signature. Errors: no-hard-plan, not-found, recording-refused, supply-missing. */
export function addHardReference(context: VerbContext, what: Parameters<HardVerbs['addReference']>[0]): HardReference {
  const product = findProduct(context, what.productId)
  const plan = planWithHard(product)
  if (what.takes.length === 0)
    throw new BoardwrightError('supply-missing', 'A reference signature needs at least one take.')
  const takes = what.takes.map((recordings) => measureSupplies(plan, recordings, what.rigSettings?.calibration))
  takes.forEach(refuseUnusable)
  const at = nowOf(context)
  return context.store.transaction(() => {
    const reference: HardReference = {
      productId: product.id,
      version: context.store.hardReferences.lastVersion(product.id) + 1,
      revision: product.revision,
      createdAt: at,
      station: context.station,
      note: what.note ?? '',
      takes,
    }
    context.store.hardReferences.insert(reference)
    const detail = { version: reference.version, revision: product.revision, takes: takes.length }
    writeJournal(context, { at, verb: 'add-hard-reference', noun: 'hard-reference', key: product.id, detail })
    return reference
  })
}

function refuseUnusable({ supplies }: HardSignature, take: number): void {
  for (const { label, findings } of supplies) {
    const refused = findings.find((finding) => isRefused([finding]))
    if (refused)
      throw new BoardwrightError('recording-refused', `Take ${take + 1}, ${label.toLowerCase()}: ${refused.message}`, {
        remedy: refused.remedy,
      })
  }
}
