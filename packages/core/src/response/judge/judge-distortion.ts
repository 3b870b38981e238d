import { formatHz, formatPercent } from '../../model/format.ts'
import type { TestPlan } from '../../model/product.ts'
import type { SettingMeasurement } from '../../model/test-run.ts'
import type { Reason } from '../../model/verdict.ts'
import { judgeReason } from './judge-reasons.ts'
import { atSetting } from './judge-words.ts'

/**
 * How well a distortion figure is known, as a share of itself: levels of harmonics are good within 0.1 dB (1.2 %), the
 * rest allows for the supply and the level at the board's input. Our own choice.
 */
const relativeUncertainty = 0.05

/**
 * Judges the greatest total harmonic distortion in the plan's range. It fails only when it would still be over the limit
 * without the recording's noise: noise can only add to the figure, and a noisy rig is no fault of the board.
 * @returns the reason for `fail` or `repeat`; nothing when the plan sets no limit or the limit is kept
 */
export function judgeDistortion(options: {
  plan: Pick<TestPlan, 'distortion'>
  measurement: Pick<SettingMeasurement, 'setting' | 'distortion' | 'noise'>
}): Reason | undefined {
  const limit = options.plan.distortion
  if (!limit) return undefined
  const { setting, distortion, noise } = options.measurement
  const at = atSetting(setting)
  const worst = distortion && worstPoint(distortion, limit)
  if (!worst)
    return judgeReason('distortion', 'repeat', setting, [
      `${at} the distortion could not be measured between ${formatHz(limit.fromHz)} and`,
      `${formatHz(limit.toHz)}: use a sweep that covers this range`,
    ])
  const { thdPercent, frequencyHz } = worst
  if (thdPercent <= limit.limitPercent * (1 - relativeUncertainty)) return undefined
  const found = `${formatPercent(thdPercent)} at ${formatHz(frequencyHz)}`
  const limitWords = `limit ${formatPercent(limit.limitPercent)}`
  const noisePercent = noise ? 100 * 10 ** (-noise.signalToNoiseDb / 20) : 0
  const least = Math.sqrt(Math.max(0, thdPercent ** 2 - noisePercent ** 2)) * (1 - relativeUncertainty)
  if (least > limit.limitPercent)
    return judgeReason('distortion', 'fail', setting, [`${at} the distortion is ${found} (${limitWords})`])
  const cause =
    noisePercent > limit.limitPercent / 2
      ? 'the noise of the recording may be the cause, quieten the rig and run again'
      : 'run again'
  return judgeReason('distortion', 'repeat', setting, [
    `${at} the distortion is too close to call: ${found} (${limitWords}); ${cause}`,
  ])
}

function worstPoint(
  distortion: NonNullable<SettingMeasurement['distortion']>,
  range: { fromHz: number; toHz: number },
): { frequencyHz: number; thdPercent: number } | undefined {
  let worst: { frequencyHz: number; thdPercent: number } | undefined
  distortion.frequencyHz.forEach((frequencyHz, i) => {
    const thdPercent = distortion.thdPercent[i]
    const inside = frequencyHz >= range.fromHz && frequencyHz <= range.toHz
    if (inside && (worst === undefined || thdPercent > worst.thdPercent)) worst = { frequencyHz, thdPercent }
  })
  return worst
}
