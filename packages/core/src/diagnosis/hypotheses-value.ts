import type { Circuit } from '../model/circuit.ts'
import type { BoardLayout } from '../model/placement.ts'
import type { Hypothesis } from './hypothesis.ts'
import { swappablePairs } from './neighbours.ts'
import { kitOf, kitValues, nominalOf, valuedParts } from './parts.ts'

/** Where the fit of an unknown value starts, as multiples of the right one, and how far ln(value) may go from there. */
const starts = [0.4, 2.5]
const potentiometerStarts = [0.1, 0.4, 2.5, 10]
const startDeviation = 0.6
/** Factors of a misread multiplier. */
const slips = [0.01, 0.1, 10, 100]

type Draft = Omit<Hypothesis, 'weight'>

/** A wrong part: out of the same kit, with a misread multiplier, of any value, or two neighbours swapped. */
export const valueHypotheses = (circuit: Circuit, board?: BoardLayout): Draft[] => {
  const kits = kitValues(circuit)
  const parts = valuedParts(circuit)
  return [
    ...parts.flatMap((part) => {
      const own = nominalOf(part)
      const others = (kits.get(kitOf(part)) ?? []).filter((value) => value !== own)
      const fixed = others.map((value) => wrong('wrong-part', part.designator, value))
      const slipped = slips
        .map((factor) => Number((factor * own).toPrecision(12)))
        .filter((value) => part.kind !== 'potentiometer' && !others.includes(value))
        .map((value) => wrong('decade-slip', part.designator, value))
      const free = (part.kind === 'potentiometer' ? potentiometerStarts : starts).map(
        (factor): Draft => ({
          ...wrong('wrong-value', part.designator, factor * own),
          id: `wrong-value ${part.designator} ${factor < 1 ? 'low' : 'high'} ${factor}`,
          free: { deviation: startDeviation },
        }),
      )
      return [...fixed, ...slipped, ...free]
    }),
    ...swappablePairs(circuit, board).map(
      ([a, b]): Draft => ({
        id: `swapped ${a.designator} ${b.designator}`,
        kind: 'swapped',
        designators: [a.designator, b.designator],
        nodes: [],
        fault: { kind: 'swapped', designator: a.designator, with: b.designator },
      }),
    ),
  ]
}

const wrong = (kind: 'wrong-part' | 'wrong-value' | 'decade-slip', designator: string, value: number): Draft => ({
  id: `${kind} ${designator} ${Number(value.toPrecision(6))}`,
  kind,
  designators: [designator],
  nodes: [],
  fault: { kind: 'value', designator, value },
})
