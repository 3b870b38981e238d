import { formatDb, formatHz } from '../../model/format.ts'
import type { TestPlan, ToleranceBand } from '../../model/product.ts'
import type { Reason, SettingJudgement, Stretch, Verdict } from '../../model/verdict.ts'
import { atSetting, decimalsToTell, rangeWords, regionWords } from './judge-words.ts'

/** A reason from the parts of its sentence. */
export const judgeReason = (
  code: Reason['code'],
  verdict: Verdict,
  setting: string | undefined,
  parts: readonly string[],
): Reason => ({
  code,
  verdict,
  message: parts.join(' ').replace(/[^?]$/, '$&.'),
  ...(setting === undefined ? {} : { setting }),
})

/** A failing or undecided stretch in words: where, how far off, at which limit. */
export function stretchReason(stretch: Stretch, compare: ToleranceBand['compare']): Reason {
  const { setting, kind, fromHz, toHz, worstHz, deviationDb, limitDb, guardDb } = stretch
  const decimals = decimalsToTell(deviationDb, limitDb)
  const region = regionWords(fromHz, toHz)
  const subject = compare === 'aligned' && region === 'the level' ? 'the shape' : region
  const limit = `limit ${formatDb(limitDb, { digits: decimals, signed: true })}`
  const worst = fromHz === toHz ? '' : `, worst at ${formatHz(worstHz)}`
  if (stretch.verdict === 'fail') {
    const amount = `${formatDb(Math.abs(deviationDb), { digits: decimals })} too ${kind === 'above' ? 'high' : 'low'}`
    return judgeReason('outside-band', 'fail', setting, [
      `${atSetting(setting)} ${subject} is ${amount} ${rangeWords(fromHz, toHz)}${worst} (${limit})`,
    ])
  }
  return judgeReason('near-limit', 'repeat', setting, [
    `${atSetting(setting)} ${subject} is too close to call ${rangeWords(fromHz, toHz)}${worst}:`,
    `${formatDb(deviationDb, { digits: decimals, signed: true })} against a ${limit}, known within ${formatDb(guardDb, { digits: 2 })}`,
  ])
}

/** The one reason of a pass: how near to a limit the board came, and where. */
export function passedReason(options: {
  plan: Pick<TestPlan, 'bands'>
  settings: readonly SettingJudgement[]
}): Reason {
  let nearest: { setting: string; frequencyHz: number; marginDb: number } | undefined
  for (const s of options.settings) {
    const aligned = options.plan.bands.find((b) => b.setting === s.setting)?.compare === 'aligned'
    const judged = aligned ? s.alignedDeviationDb : s.deviationDb
    judged.forEach((d, i) => {
      const marginDb = Math.min(s.upperDb[i] - d, d - s.lowerDb[i])
      if (!nearest || marginDb < nearest.marginDb)
        nearest = { setting: s.setting, frequencyHz: s.frequencyHz[i], marginDb }
    })
  }
  if (!nearest) return judgeReason('passed', 'pass', undefined, ['Every setting is inside its band'])
  const { setting, frequencyHz, marginDb } = nearest
  return judgeReason('passed', 'pass', undefined, [
    `Every setting is inside its band; nearest to a limit: ${setting} at ${formatHz(frequencyHz)},`,
    `${formatDb(marginDb, { digits: 2 })} inside`,
  ])
}
