import type { NextCheck } from '../model/diagnosis.ts'
import type { Product } from '../model/product.ts'
import type { SettingMeasurement } from '../model/test-run.ts'
import { type CheckPlace, plannedChecks } from './check-outcomes.ts'
import type { EvidenceCase } from './evidence-case.ts'
import { blameOf, describeCheck, expectedInformation } from './next-check.ts'
import type { Posterior } from './posterior.ts'

/** Hypotheses less probable than this, and beyond so many, do not decide what to check. */
const leastProbability = 0.002
const most = 28
/** When one part is named with this probability there is nothing to check. */
const certain = 0.95
/** Response below which nothing is read, dB re 1. */
const lowestReadDb = -70
/** A check that tells less is not worth the walk, bits. */
const leastBits = 0.03

/**
 * How readily each check is made, as a factor on what it tells: a turn of a knob and a touch of the meter cost nothing, a
 * part taken out costs a joint. Common practice, no source.
 */
const ease: Readonly<Record<NextCheck['kind'], number>> = {
  setting: 1,
  voltage: 1,
  'supply-current': 0.95,
  probe: 0.9,
  part: 0.4,
}

/** The checks that would tell most about which part it is, best first. */
export const suggestChecks = (options: {
  product: Product
  measurements: readonly SettingMeasurement[]
  probes: readonly { node: string }[]
  nodeVoltagesV?: Readonly<Record<string, number>>
  supplyCurrentA?: number
  soundParts?: readonly string[]
  checks?: number
  one: EvidenceCase
  posterior: Posterior
  /** Response below which nothing is read at a place, dB re 1 (-70). */
  lowestDb?: CheckPlace
}): NextCheck[] => {
  const { product, measurements, posterior, one, checks = 3 } = options
  const weighed = posterior.weighed.filter((w) => w.probability >= leastProbability).slice(0, most)
  if (weighed.length < 2 || checks === 0) return []
  const names = [...new Set(weighed.map(blameOf))]
  const blame = Int32Array.from(weighed, (w) => names.indexOf(blameOf(w)))
  const byBlame = names.map((_, i) => weighed.reduce((sum, w, k) => sum + (blame[k] === i ? w.probability : 0), 0))
  if (Math.max(...byBlame) >= certain) return []
  const planned = plannedChecks({
    product,
    one,
    weighed,
    measuredSettings: measurements.map((m) => m.setting),
    setting: measurements[0]?.setting ?? product.testPlan.settings[0],
    probed: options.probes.map((p) => p.node),
    metered: Object.keys(options.nodeVoltagesV ?? {}),
    currentKnown: options.supplyCurrentA !== undefined,
    soundParts: options.soundParts ?? [],
    lowestDb: options.lowestDb ?? (() => lowestReadDb),
  })
  return planned
    .map(({ plan, outcomes }) => {
      const bits = expectedInformation(weighed, blame, names.length, outcomes)
      return { plan, outcomes, bits, worth: bits * ease[plan.kind] }
    })
    .filter(({ bits }) => bits >= leastBits)
    .sort((a, b) => b.worth - a.worth)
    .slice(0, checks)
    .map(({ plan, outcomes, bits }) => describeCheck(plan, bits, weighed, outcomes))
}
