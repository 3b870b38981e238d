import { BoardwrightError } from '../model/error.ts'
import type { Product } from '../model/product.ts'
import type { SuspicionKind } from '../model/suspect.ts'
import { amplifierHypotheses } from './hypotheses-amplifier.ts'
import { bridgeHypotheses, pinHypotheses } from './hypotheses-connection.ts'
import { contactHypotheses } from './hypotheses-contact.ts'
import { polarityHypotheses } from './hypotheses-polarity.ts'
import { valueHypotheses } from './hypotheses-value.ts'
import type { Hypothesis } from './hypothesis.ts'
import { kindWeights, noneWeight } from './priors.ts'

/** Weights of the kinds of fault from a workshop's own records; those left out keep the ones of `priors.ts`. */
export type KindWeights = Partial<Record<SuspicionKind, number>>

/** Everything that may be wrong with a board of a product, with prior probabilities; they and `none` add up to 1. */
export type HypothesisSet = { hypotheses: Hypothesis[]; none: number }

/**
 * Lists the hypotheses for a product. Each kind's weight is shared evenly among its hypotheses.
 *
 * @throws BoardwrightError `bad-argument` for a weight that is negative
 */
export const hypothesesOf = (product: Pick<Product, 'circuit' | 'board'>, weights: KindWeights = {}): HypothesisSet => {
  const { circuit, board } = product
  const drafts: Omit<Hypothesis, 'weight'>[] = [
    { id: 'healthy', kind: 'healthy', designators: [], nodes: [], fault: null },
    ...contactHypotheses(circuit),
    ...valueHypotheses(circuit, board),
    ...polarityHypotheses(circuit),
    ...amplifierHypotheses(circuit),
    ...bridgeHypotheses(circuit, board),
    ...pinHypotheses(circuit),
  ]
  const counts = new Map<SuspicionKind, number>()
  for (const { kind } of drafts) counts.set(kind, (counts.get(kind) ?? 0) + 1)
  const weightOf = (kind: SuspicionKind) => {
    const weight = weights[kind] ?? kindWeights[kind].weight
    if (weight >= 0) return weight
    throw new BoardwrightError('bad-argument', `The weight of "${kind}" is ${weight}; it cannot be negative.`)
  }
  const total = [...counts.keys()].reduce((sum, kind) => sum + weightOf(kind), noneWeight)
  const hypotheses = drafts.map((draft) => ({
    ...draft,
    weight: weightOf(draft.kind) / (counts.get(draft.kind) ?? 1) / total,
  }))
  return { hypotheses, none: noneWeight / total }
}
