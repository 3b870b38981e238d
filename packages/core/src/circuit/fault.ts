import { z } from 'zod'
import { QuantityText } from '../model/circuit.ts'

const designator = z.string().min(1)

/**
 * Something wrong with a board. On one part:
 * `open` (no contact), `short`, `value` (a wrong part of the same kind: `value` is what was fitted), `series-resistance` (cold
 * joint of `value`), `leak` (`value` ohm across the part), `dried-out` (electrolytic), `reversed` (turned round: potentiometer
 * ends, electrolytic or diode polarity), `dead`, `stuck-high`, `stuck-low`, `slow` (op-amp; `value` its gain-bandwidth).
 * Between parts: `swapped` (values of two parts exchanged), `bridge` (solder between two nodes). Of the rig: `pin-open` (the
 * pin at a node does not touch).
 */
export const Fault = z.discriminatedUnion('kind', [
  z.object({ kind: z.literal('open'), designator }),
  z.object({ kind: z.literal('short'), designator }),
  z.object({ kind: z.literal('value'), designator, value: QuantityText }),
  z.object({ kind: z.literal('series-resistance'), designator, value: QuantityText, leg: z.number().int().optional() }),
  z.object({ kind: z.literal('leak'), designator, value: QuantityText }),
  z.object({ kind: z.literal('dried-out'), designator }),
  z.object({ kind: z.literal('reversed'), designator }),
  z.object({ kind: z.literal('dead'), designator }),
  z.object({ kind: z.literal('stuck-high'), designator }),
  z.object({ kind: z.literal('stuck-low'), designator }),
  z.object({ kind: z.literal('slow'), designator, value: QuantityText }),
  z.object({ kind: z.literal('swapped'), designator, with: designator }),
  z.object({
    kind: z.literal('bridge'),
    nodes: z.tuple([z.string(), z.string()]),
    value: QuantityText.default('0.1 ohm'),
  }),
  z.object({ kind: z.literal('pin-open'), node: z.string() }),
])
export type Fault = z.infer<typeof Fault>

/** The fault in words, for screens and reports: "C4 open", "R5 is 47 kΩ". */
export const describeFault = (fault: Fault): string => {
  switch (fault.kind) {
    case 'bridge':
      return `solder bridge between ${fault.nodes[0]} and ${fault.nodes[1]}`
    case 'pin-open':
      return `the rig's pin at ${fault.node} does not touch`
    case 'swapped':
      return `${fault.designator} and ${fault.with} swapped`
    case 'value':
      return `${fault.designator} is ${fault.value}`
    case 'series-resistance':
      return `cold joint of ${fault.value} at ${fault.designator}`
    case 'leak':
      return `${fault.designator} leaks, ${fault.value}`
    case 'slow':
      return `${fault.designator} slow, ${fault.value}`
    default:
      return `${fault.designator} ${fault.kind.replace('-', ' ')}`
  }
}
