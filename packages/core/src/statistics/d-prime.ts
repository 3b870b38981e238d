import { requireProbability } from './check-argument.ts'
import { findRoot } from './find-root.ts'
import { normalProbability, normalQuantile } from './normal.ts'

/**
 * Sensitivity and bias of a yes-no listening test.
 * Source: Green and Swets, "Signal Detection Theory and Psychophysics", 1966: d' = z(H) - z(F), c = -(z(H) + z(F)) / 2.
 * @param options.hitRate and falseAlarmRate strictly between 0 and 1; throws `bad-argument`
 */
export function yesNoSensitivity(options: { hitRate: number; falseAlarmRate: number }): {
  dPrime: number
  criterion: number
} {
  requireProbability('The hit rate', options.hitRate)
  requireProbability('The false-alarm rate', options.falseAlarmRate)
  const hit = normalQuantile({ probability: options.hitRate })
  const falseAlarm = normalQuantile({ probability: options.falseAlarmRate })
  return { dPrime: hit - falseAlarm, criterion: -(hit + falseAlarm) / 2 }
}

/**
 * Share of correct answers an unbiased listener of a given sensitivity reaches in an A/B/X test.
 * Source: Macmillan and Creelman, "Detection Theory", chapter 9, from memory: `independent` (A compared with B, X with the
 * middle between them) or `differencing` (X compared with A and with B).
 */
export function abxShareCorrect(options: { dPrime: number; model: 'independent' | 'differencing' }): number {
  const divisors = { independent: { pair: Math.SQRT2, x: 2 }, differencing: { pair: Math.SQRT2, x: Math.sqrt(6) } }
  const { pair, x } = divisors[options.model]
  const first = normalProbability({ z: options.dPrime / pair })
  const second = normalProbability({ z: options.dPrime / x })
  return first * second + (1 - first) * (1 - second)
}

/**
 * Sensitivity behind a share of correct answers in an A/B/X test: the inverse of abxShareCorrect.
 * @param options.shareCorrect below 1; half or less gives 0. Throws `bad-argument`
 */
export function abxSensitivity(options: { shareCorrect: number; model: 'independent' | 'differencing' }): number {
  const { shareCorrect, model } = options
  requireProbability('The share correct', shareCorrect)
  if (shareCorrect <= 0.5) return 0
  return findRoot({ f: (dPrime) => abxShareCorrect({ dPrime, model }) - shareCorrect, from: 0, to: 40 })
}
