import type { Reference } from '../model/reference.ts'
import { rigVersionOf } from '../model/rig.ts'
import { makeReference } from '../response/judge/reference.ts'
import { needEverySetting, refuseSameRecording, refuseUnknownSettings } from './check-recordings.ts'
import { findProduct } from './find-product.ts'
import { measureSetting } from './measure-setting.ts'
import { rigOf } from './rig/find-rig.ts'
import { nowOf, type VerbContext, writeJournal } from './verb-context.ts'
import type { AddReference } from './workshop.ts'

/**
 * Makes the next version of a product's reference from recordings of the reference board; several of one setting are
 * several runs. Units tested from now on are judged by it; older verdicts keep the version they were judged by.
 * Errors: not-found, recording-refused, recording-twice, reference-not-repeatable, setting-missing, setting-unknown,
 * sweep-mismatch.
 */
export function addReference(context: VerbContext, what: AddReference): Reference {
  const product = findProduct(context, what.productId)
  refuseUnknownSettings(product, what.recordings)
  refuseSameRecording(what.recordings)
  needEverySetting(product, what.recordings)
  const rig = rigOf(context, what.rigSettings)
  const plan = product.testPlan
  const measured = what.recordings.map((recording) => measureSetting({ ...what, recording, plan, through: rig }))
  const at = nowOf(context)
  return context.store.transaction(() => {
    const reference = makeReference({
      productId: product.id,
      revision: product.revision,
      version: context.store.references.lastVersion(product.id) + 1,
      createdAt: at,
      station: context.station,
      note: what.note ?? '',
      sweep: measured[0].sweep.settings,
      rigSettings: what.rigSettings ? rigVersionOf(what.rigSettings) : null,
      runs: measured.map((m) => m.measurement),
    })
    context.store.references.insert(reference)
    const settings = Object.fromEntries(reference.settings.map((setting) => [setting.setting, setting.runs]))
    const { version, revision, rigSettings } = reference
    const detail = { version, revision, runs: settings, rigSettings }
    writeJournal(context, { at, verb: 'add-reference', noun: 'reference', key: product.id, detail })
    return reference
  })
}
