import { formatDbfs } from '../../model/format.ts'
import type { TestPlan } from '../../model/product.ts'
import type { SettingMeasurement } from '../../model/test-run.ts'
import type { Reason } from '../../model/verdict.ts'
import { judgeReason } from './judge-reasons.ts'
import { atSetting } from './judge-words.ts'

/** How well a noise level of a few tenths of a second is known, dB: low frequencies swing from take to take. Our choice. */
const guardDb = 0.5

/**
 * Judges the unweighted noise of the recording against the plan's limit. With mains hum in the recording a noise over
 * the limit fails nobody: hum comes through the rig's earth and cables more often than from a board.
 * @returns the reason for `fail` or `repeat`; nothing when the plan sets no limit or the limit is kept
 */
export function judgeNoise(options: {
  plan: Pick<TestPlan, 'noise'>
  measurement: Pick<SettingMeasurement, 'setting' | 'noise' | 'findings'>
}): Reason | undefined {
  const limitDbfs = options.plan.noise?.limitDbfs
  if (limitDbfs === undefined) return undefined
  const { setting, noise, findings } = options.measurement
  const at = atSetting(setting)
  if (!noise)
    return judgeReason('noise', 'repeat', setting, [`${at} the noise could not be measured: record more silence`])
  const level = noise.unweightedDbfs
  if (level <= limitDbfs - guardDb) return undefined
  const found = `${formatDbfs(level)} (limit ${formatDbfs(limitDbfs)})`
  if (level < limitDbfs + guardDb)
    return judgeReason('noise', 'repeat', setting, [`${at} the noise is too close to call: ${found}`])
  if (findings.some((f) => f.code === 'mains-hum'))
    return judgeReason('noise', 'repeat', setting, [
      `${at} the noise is ${found}, but with mains hum in it: mend the rig's earth and screening, then run again`,
    ])
  return judgeReason('noise', 'fail', setting, [`${at} the noise is ${found}`])
}
