import { BoardwrightError } from '../../model/error.ts'
import type { TestPlan } from '../../model/product.ts'
import type { Reference, ReferenceSetting } from '../../model/reference.ts'
import type { SettingMeasurement } from '../../model/test-run.ts'
import type { Judgement, Reason, SettingJudgement } from '../../model/verdict.ts'
import { isUsable, type JudgeContext } from './judge-context.ts'
import { judgeDistortion } from './judge-distortion.ts'
import { judgeGain } from './judge-gain.ts'
import { gravest } from './judge-guard.ts'
import { judgeMirrorOfRun } from './judge-mirror-of-run.ts'
import { judgeNoise } from './judge-noise.ts'
import { judgeReason, passedReason } from './judge-reasons.ts'
import { type CurveJudgement, judgeCurve } from './judge-setting.ts'
import { atSetting } from './judge-words.ts'

/**
 * Judges one visit to the rig: every setting of the plan against the reference and its band, then gain, distortion, noise
 * and the mirror of the two extreme settings.
 *
 * `fail`: something is surely outside its limit on a usable recording, even if another setting's recording was refused:
 * what is proven stays proven. Else `repeat`: something is undecided, missing or refused. Else `pass`.
 * A recording that is upside down against the reference decides nothing: swapped leads do that, and they may do more.
 * The order of the measurements does not matter; settings that the plan does not name serve the mirror check only.
 * @throws BoardwrightError `bad-argument` when a setting was given twice
 */
export function judge(options: {
  plan: TestPlan
  reference: Reference
  measurements: readonly SettingMeasurement[]
}): Judgement {
  const measured = new Map<string, SettingMeasurement>()
  for (const measurement of options.measurements) {
    if (measured.has(measurement.setting))
      throw new BoardwrightError('bad-argument', `There are two recordings for setting "${measurement.setting}".`)
    measured.set(measurement.setting, measurement)
  }
  const parts = options.plan.settings.map((setting) => judgeSetting({ ...options, setting, measured }))
  const reasons = parts.flatMap((part) => part.reasons)
  const mirror = judgeMirrorOfRun({ ...options, measured, settings: parts.map((part) => part.judgement) })
  if (mirror?.reason) reasons.push(mirror.reason)
  const verdict = gravest(reasons.map((r) => r.verdict))
  if (verdict === 'pass')
    reasons.push(passedReason({ plan: options.plan, settings: parts.map((part) => part.judgement) }))
  return {
    verdict,
    reasons: [...reasons].sort((a, b) => rank(a) - rank(b)),
    settings: parts.map((part) => part.judgement),
    ...(mirror ? { mirror: mirror.judgement } : {}),
  }
}

const rank = (reason: Reason): number => ({ fail: 0, repeat: 1, pass: 2 })[reason.verdict]

function judgeSetting(context: JudgeContext & { setting: string }): CurveJudgement {
  const { plan, reference, setting, measured } = context
  const measurement = measured.get(setting)
  const ofReference = reference.settings.find((s) => s.setting === setting)
  const band = plan.bands.find((b) => b.setting === setting)
  const obstacle = obstacleTo({ setting, measurement, ofReference, hasBand: band !== undefined })
  if (obstacle || !isUsable(measurement) || !ofReference || !band)
    return {
      judgement: emptyJudgement(setting),
      reasons: [judgeReason('recording', 'repeat', setting, [obstacle ?? `${atSetting(setting)} there is no curve`])],
    }
  const curve = judgeCurve({ plan, band, reference: ofReference, curve: measurement.curve })
  const others = [
    judgeGain({ plan, reference: ofReference, curve: measurement.curve, gainAt1kHzDb: measurement.gainAt1kHzDb }),
    judgeDistortion({ plan, measurement }),
    judgeNoise({ plan, measurement }),
  ]
  const found = [...curve.reasons, ...others.filter((reason) => reason !== undefined)]
  if (measurement.polarity !== ofReference.polarity) return turned(curve.judgement)
  const verdict = gravest(found.map((r) => r.verdict))
  // Once a setting surely fails, its close calls add nothing that the maker must know.
  const reasons = verdict === 'fail' ? found.filter((r) => r.verdict === 'fail') : found
  return { judgement: { ...curve.judgement, verdict }, reasons }
}

/** What stands in the way of judging a setting at all, in words without the full stop. */
function obstacleTo(options: {
  setting: string
  measurement: SettingMeasurement | undefined
  ofReference: ReferenceSetting | undefined
  hasBand: boolean
}): string | undefined {
  const { measurement } = options
  const at = atSetting(options.setting)
  if (!measurement) return `${at} there is no recording yet`
  if (!isUsable(measurement)) {
    const finding = measurement.findings.find((f) => f.severity === 'refuse')
    return finding ? `${at} the recording proves nothing: ${finding.message.replace(/\.$/, '')}` : undefined
  }
  if (!options.ofReference) return `${at} the reference has no curve: measure the reference board there first`
  if (!options.hasBand) return `${at} the test plan has no tolerance band`
  return undefined
}

/** The curve stays visible, with its stretches; the verdict and the only reason are the turned polarity. */
function turned(judgement: SettingJudgement): CurveJudgement {
  const reason = judgeReason('recording', 'repeat', judgement.setting, [
    `${atSetting(judgement.setting)} the signal is upside down against the reference (polarity turned):`,
    'check the leads of the rig, then run again; if they are right, compare the board with the reference board',
  ])
  return { judgement: { ...judgement, verdict: 'repeat' }, reasons: [reason] }
}

const emptyJudgement = (setting: string): SettingJudgement => ({
  setting,
  verdict: 'repeat',
  frequencyHz: [],
  deviationDb: [],
  alignedDeviationDb: [],
  levelDifferenceDb: 0,
  upperDb: [],
  lowerDb: [],
  guardDb: [],
  stretches: [],
})
