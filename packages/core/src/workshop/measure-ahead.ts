import type { SettingMeasurement } from '../model/test-run.ts'
import { currentReference } from './current-reference.ts'
import { withoutExpectedPolarity } from './expected-polarity.ts'
import { findProduct } from './find-product.ts'
import { learnHealthyBoards } from './learn-healthy-boards.ts'
import { type MeasuredSetting, measureSetting } from './measure-setting.ts'
import { rigOf } from './rig/find-rig.ts'
import type { VerbContext } from './verb-context.ts'
import type { MeasureAhead, SettingRecording } from './workshop.ts'

type Options = Parameters<typeof measureSetting>[0]

/** By recording, for as long as somebody holds it. */
const ahead = new WeakMap<SettingRecording, { options: Options; measured: MeasuredSetting }>()

const isSame = (one: Options, other: Options): boolean =>
  one.sweep === other.sweep &&
  one.loopBackChannel === other.loopBackChannel &&
  one.through?.name === other.through?.name &&
  one.through?.version === other.through?.version &&
  one.plan.wantedUncertaintyDb === other.plan.wantedUncertaintyDb &&
  (one.sweep !== undefined || JSON.stringify(one.plan.stimulus) === JSON.stringify(other.plan.stimulus))

/** Measures a recording, unless the very same was measured ahead in the same way. */
export function measureOnce(options: Options): MeasuredSetting {
  const known = ahead.get(options.recording)
  return known && isSame(known.options, options) ? known.measured : measureSetting(options)
}

/**
 * Measures one recording while the rig still works on the next setting: the verdict then waits for the last one only.
 * Nothing is stored; `recordTestRun` takes the result over when it gets the same recording object.
 * Errors: bad-argument (channel), not-found (product, settings of the rig), sweep-mismatch.
 */
export function measureAhead(context: VerbContext, what: MeasureAhead): SettingMeasurement {
  const { productId, rigSettings, ...rest } = what
  const product = findProduct(context, productId)
  const options = { ...rest, plan: product.testPlan, through: rigOf(context, rigSettings) }
  const measured = measureSetting(options)
  ahead.set(what.recording, { options, measured })
  // The verdict will want to know it; learnt now, it does not make anybody wait then.
  learnHealthyBoards(context, product)
  const reference = currentReference(context, product)
  return reference ? withoutExpectedPolarity([measured.measurement], reference)[0] : measured.measurement
}
