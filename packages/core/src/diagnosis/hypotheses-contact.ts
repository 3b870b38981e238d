import type { Circuit } from '../model/circuit.ts'
import type { Hypothesis } from './hypothesis.ts'
import { boardElements, nominalOf, valuedParts } from './parts.ts'

/** Sizes of a bad joint, ohm; each stands for half a decade either way, and the fit finds the rest. */
const jointOhms = [30, 300, 3e3, 3e4, 3e5]
/** Standard deviation of ln(resistance) about each size: the sizes overlap. */
const sizeDeviation = 0.8

/** How far what is left of an open joint varies, ln: flux and dirt let more or less through. Felt only at gigohm nodes. */
const gapDeviation = 2

/** No contact, dead short, and a joint that only half makes contact. */
export const contactHypotheses = (circuit: Circuit): Omit<Hypothesis, 'weight'>[] => [
  ...openAndShort(circuit),
  ...coldJoints(circuit),
]

const openAndShort = (circuit: Circuit) =>
  boardElements(circuit).flatMap(({ kind, designator }): Omit<Hypothesis, 'weight'>[] => {
    if (kind === 'op-amp' || kind === 'source') return []
    const common = { designators: [designator], nodes: [] }
    return [
      {
        id: `open ${designator}`,
        kind: 'open',
        ...common,
        fault: { kind: 'open', designator },
        free: { deviation: gapDeviation },
      },
      { id: `short ${designator}`, kind: 'short', ...common, fault: { kind: 'short', designator } },
    ]
  })

const coldJoints = (circuit: Circuit) => [
  ...valuedParts(circuit).flatMap((part) => {
    const legs = part.kind === 'potentiometer' ? [0, 1, 2] : [undefined]
    const ohm = part.kind === 'resistor' ? nominalOf(part) : 0
    // Beside the part's own resistance a far smaller one is nothing, a far greater one is an open joint.
    const sizes = jointOhms.filter((r) => ohm === 0 || (r >= 0.02 * ohm && r <= 300 * ohm))
    return legs.flatMap((leg) => sizes.map((value) => coldJoint(part.designator, value, leg)))
  }),
  ...boardElements(circuit).flatMap(({ kind, designator }) =>
    kind === 'op-amp' ? [300, 3e3, 3e4].map((value) => coldJoint(designator, value)) : [],
  ),
]

const coldJoint = (designator: string, value: number, leg?: number): Omit<Hypothesis, 'weight'> => ({
  id: `cold-joint ${designator}${leg === undefined ? '' : ` leg ${leg + 1}`} ${value}`,
  kind: 'cold-joint',
  designators: [designator],
  nodes: [],
  fault: { kind: 'series-resistance', designator, value, ...(leg === undefined ? {} : { leg }) },
  free: { deviation: sizeDeviation },
})
