import type { Dimension } from '../circuit/dimension.ts'
import { formatQuantity, parseQuantity } from '../circuit/quantity.ts'
import type { Circuit } from '../model/circuit.ts'
import type { Hypothesis } from './hypothesis.ts'
import { nodeWords, rigPinWords } from './node-words.ts'
import { dimensionOfPart, nominalOf, type ValuedPart, valuedParts } from './parts.ts'
import type { PreparedHypothesis } from './prepare-hypothesis.ts'

/** What a suspicion says: the sentence, what the drawing asks for, and what seems to be there. */
export type SuspicionWords = { words: string; expected: string | null; found: string | null }

/** The size of a fault as it was fitted, in the SI unit; as it stands in the hypothesis when there is nothing to fit. */
export const fittedAmount = (prepared: PreparedHypothesis, free: number): number => {
  const [change] = prepared.changes
  const deviation = prepared.hypothesis.free?.deviation ?? 0
  return change ? change.amount * Math.exp(deviation * free) : Number.NaN
}

const about = (value: number, dimension: Dimension) => formatQuantity(value, dimension, { digits: 2 })

/** A suspicion in a maker's words. */
export const suspicionWords = (circuit: Circuit, prepared: PreparedHypothesis, free: number): SuspicionWords => {
  const { hypothesis } = prepared
  const part = valuedParts(circuit).find((p) => p.designator === hypothesis.designators[0])
  const expected = part ? formatQuantity(nominalOf(part), dimensionOfPart(part)) : null
  if (hypothesis.kind === 'wrong-part' || hypothesis.kind === 'decade-slip' || hypothesis.kind === 'wrong-value')
    return valueWords(prepared, free, part, expected)
  if (hypothesis.kind === 'swapped') return swappedWords(circuit, hypothesis)
  return { words: plainWords(circuit, prepared, free), expected, found: foundWords(prepared, free) }
}

const valueWords = (
  prepared: PreparedHypothesis,
  free: number,
  part: ValuedPart | undefined,
  expected: string | null,
): SuspicionWords => {
  const { hypothesis } = prepared
  const [d] = hypothesis.designators
  const dimension = part ? dimensionOfPart(part) : 'resistance'
  const value = fittedAmount(prepared, free)
  const found = hypothesis.free ? `about ${about(value, dimension)}` : formatQuantity(value, dimension)
  return { words: `${d} is probably ${found} instead of ${expected}`, expected, found }
}

const swappedWords = (circuit: Circuit, { designators }: Hypothesis): SuspicionWords => {
  const values = designators.map((d) => {
    const part = valuedParts(circuit).find((p) => p.designator === d)
    return part ? formatQuantity(nominalOf(part), dimensionOfPart(part)) : '?'
  })
  const [a, b] = designators
  return {
    words: `${a} and ${b} are probably swapped (${values[0]} and ${values[1]})`,
    expected: values.join(', '),
    found: [...values].reverse().join(', '),
  }
}

const legWords = ['counter-clockwise end', 'wiper', 'clockwise end']

const foundWords = (prepared: PreparedHypothesis, free: number): string | null => {
  const { kind } = prepared.hypothesis
  const value = fittedAmount(prepared, free)
  if (kind === 'cold-joint') return `about ${about(value, 'resistance')} in series`
  if (kind === 'leaky') return `about ${about(value, 'resistance')} across it`
  if (kind === 'amplifier-slow') return `about ${about(value, 'frequency')}`
  return null
}

const plainWords = (circuit: Circuit, prepared: PreparedHypothesis, free: number): string => {
  const { kind, designators, nodes, fault } = prepared.hypothesis
  const [d] = designators
  const found = foundWords(prepared, free)
  switch (kind) {
    case 'healthy':
      return 'nothing is wrong that the response would show'
    case 'open':
      return `${d} probably has no contact at one leg, or is missing`
    case 'short':
      return `${d} is probably short-circuited`
    case 'cold-joint': {
      const leg = fault?.kind === 'series-resistance' ? fault.leg : undefined
      return `the joint ${leg === undefined ? 'of' : `at the ${legWords[leg]} of`} ${d} is probably bad (${found})`
    }
    case 'leaky':
      return `${d} probably leaks (${found})`
    case 'dried-out':
      return `${d} has probably dried out (little capacitance, much resistance)`
    case 'reversed':
      return circuit.elements.find((e) => e.designator === d)?.kind === 'potentiometer'
        ? `${d} is probably wired backwards`
        : `${d} is probably fitted the wrong way round`
    case 'amplifier-dead':
      return `${d} probably does nothing`
    case 'amplifier-stuck':
      return `the output of ${d} is probably stuck at ${fault?.kind === 'stuck-high' ? 'its positive' : 'its negative'} supply`
    case 'amplifier-slow':
      return `${d} is probably too slow (${found} instead of ${normalSpeed(circuit, d)})`
    case 'bridge':
      return `there is probably solder between ${nodeWords(circuit, nodes[0])} and ${nodeWords(circuit, nodes[1])}`
    case 'rig-pin':
      return `the rig's ${rigPinWords(circuit, nodes[0])} probably does not touch`
    default:
      return `${d}: ${kind}`
  }
}

const normalSpeed = (circuit: Circuit, designator: string): string => {
  const element = circuit.elements.find((e) => e.designator === designator)
  return element?.kind === 'op-amp'
    ? formatQuantity(parseQuantity(element.gainBandwidth, 'frequency'), 'frequency')
    : '?'
}
