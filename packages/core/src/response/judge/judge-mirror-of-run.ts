import type { ResponseCurve } from '../../model/response-curve.ts'
import type { SettingJudgement } from '../../model/verdict.ts'
import { curveOnGrid } from '../curve/curve-on-grid.ts'
import { isUsable, type JudgeContext } from './judge-context.ts'
import { judgeMirror, type MirrorResult } from './judge-mirror.ts'
import { judgeReason } from './judge-reasons.ts'

/**
 * The mirror check of a run, where the plan asks for it: open (`repeat`) until both extreme settings were measured well.
 * The centre curve is this run's own where it was measured, else the reference's. A reference of the two extremes only has
 * none: then the middle of its own two curves stands for it, which asks whether this board is as symmetrical as that one.
 * @param context.settings what was judged so far; the mirror is judged on the points that both bands judge
 */
export function judgeMirrorOfRun(
  context: JudgeContext & { settings: readonly SettingJudgement[] },
): MirrorResult | undefined {
  const { plan, reference, measured } = context
  if (!plan.mirror) return undefined
  const usable = (setting: string) => {
    const measurement = measured.get(setting)
    const polarity = reference.settings.find((s) => s.setting === setting)?.polarity
    return isUsable(measurement) && measurement.polarity === (polarity ?? measurement.polarity)
      ? measurement.curve
      : undefined
  }
  const max = usable(plan.mirror.max)
  const min = usable(plan.mirror.min)
  const ofReference = (setting: string) => reference.settings.find((s) => s.setting === setting)?.curve
  const centre = usable(plan.mirror.centre) ?? ofReference(plan.mirror.centre) ?? middleOf(plan.mirror, ofReference)
  if (!max || !min || !centre) return missingMirror(plan.mirror.limitDb, centre === undefined)
  const judged = context.settings.filter((s) => s.setting === plan.mirror?.max || s.setting === plan.mirror?.min)
  const [first, ...rest] = judged.map((s) => s.frequencyHz)
  const frequencyHz = (first ?? max.frequencyHz).filter((f) => rest.every((other) => other.includes(f)))
  return judgeMirror({ plan, limitDb: plan.mirror.limitDb, frequencyHz, max, min, centre })
}

/** Half way between two curves in dB, on the grid of the first. */
function middleOf(
  { max, min }: { max: string; min: string },
  curveOf: (setting: string) => ResponseCurve | undefined,
): ResponseCurve | undefined {
  const high = curveOf(max)
  const low = curveOf(min)
  if (!high || !low) return undefined
  const other = curveOnGrid({ curve: low, frequencyHz: high.frequencyHz })
  return {
    ...high,
    gainDb: high.gainDb.map((gain, i) => (gain + other.gainDb[i]) / 2),
    uncertaintyDb: high.uncertaintyDb.map((u, i) => Math.hypot(u, other.uncertaintyDb[i]) / 2),
  }
}

function missingMirror(limitDb: number, centreMissing: boolean): MirrorResult {
  const judgement = {
    verdict: 'repeat' as const,
    frequencyHz: [],
    productDb: [],
    worstDb: 0,
    worstHz: 0,
    limitDb,
  }
  const cause = centreMissing
    ? 'measure the reference board at centre too'
    : 'it needs a good recording at maximum and at minimum'
  return {
    judgement,
    reason: judgeReason('mirror', 'repeat', undefined, [
      `Whether minimum is the mirror of maximum is still open: ${cause}`,
    ]),
  }
}
