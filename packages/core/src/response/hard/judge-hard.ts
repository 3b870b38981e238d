import { isRefused } from '../../model/finding.ts'
import type { HardPlan } from '../../model/hard-plan.ts'
import type { HardJudgement, HardReason } from '../../model/hard-run.ts'
import type { HardAtSupply, HardSignature } from '../../model/hard-signature.ts'
import type { TestPlan } from '../../model/product.ts'
import { gravest } from '../judge/judge-guard.ts'
import { clippingWords } from './clipping-words.ts'
import { type HardContext, hardReason } from './hard-context.ts'
import { judgeHardSweep } from './judge-hard-sweep.ts'
import { judgeLadder } from './judge-ladder.ts'
import { judgeTones } from './judge-tones.ts'
import { meanSignature } from './mean-signature.ts'

const order = { fail: 0, repeat: 1, pass: 2 } as const

/**
 * Compares a board pressed hard with the reference board's signature: clip point, swing and symmetry of every tone, gain and
 * harmonics over level and over frequency, and the sign of the harmonics, at every supply of the plan. Limits are widened
 * where the reference is steep, by the shift of the clip point that is permitted anyway; a guard band stands on each side.
 *
 * @param options.takes the reference's, one or more
 * Source of the decision rule: JCGM 106:2012, guarded acceptance and rejection; the bands are the product's own.
 */
export function judgeHard(options: {
  plan: Pick<TestPlan, 'confidence' | 'rigUncertaintyDb'>
  hard: HardPlan
  takes: readonly HardSignature[]
  signature: HardSignature
}): HardJudgement {
  const { plan, hard, takes, signature } = options
  const mean = meanSignature(takes)
  const reasons = signature.supplies.flatMap((unit) => {
    const reference = mean.supplies.find((one) => one.name === unit.name)
    const ofTakes = takes.flatMap((take) => take.supplies.filter((one) => one.name === unit.name))
    return judgeSupply({ plan, hard, unit, reference, takes: ofTakes })
  })
  const character = signature.supplies.map((supply) => clippingWords(supply, hard))
  const sorted = reasons.toSorted((a, b) => order[a.verdict] - order[b.verdict])
  if (sorted.length > 0) return { verdict: gravest(sorted.map((r) => r.verdict)), reasons: sorted, character }
  const passed: HardReason = {
    code: 'passed',
    verdict: 'pass',
    message: `Pressed hard, it behaves like the reference board at ${hard.supplies.map((s) => s.label.toLowerCase()).join(' and ')}.`,
  }
  return { verdict: 'pass', reasons: [passed], character }
}

function judgeSupply(what: Omit<HardContext, 'reference'> & { reference: HardAtSupply | undefined }): HardReason[] {
  const { unit, reference } = what
  const refused = unit.findings.filter((finding) => isRefused([finding]))
  if (refused.length > 0)
    return refused.map((finding) =>
      hardReason(
        what,
        'recording',
        'repeat',
        `${finding.message.replace(/\.$/, '')}. ${finding.remedy.replace(/\.$/, '')}`,
      ),
    )
  if (!reference || !isComparable(unit, reference))
    return [
      hardReason(
        what,
        'recording',
        'repeat',
        'the reference was pressed at other tones or levels. Press the reference board again',
      ),
    ]
  const context = { ...what, reference }
  return [...judgeTones(context), ...judgeLadder(context), ...judgeHardSweep(context)]
}

/** True when both were pressed at the same tones and levels, and swept alike. */
function isComparable(unit: HardAtSupply, reference: HardAtSupply): boolean {
  const sameSteps =
    unit.steps.length === reference.steps.length &&
    unit.steps.every((step, i) => {
      const other = reference.steps[i]
      return step.toneHz === other.toneHz && Math.abs(step.inputV / other.inputV - 1) < 1e-3
    })
  const points = (of: HardAtSupply) => of.sweep?.frequencyHz.length ?? 0
  return sameSteps && points(unit) === points(reference)
}
