import type { ControlPositions } from '../model/circuit.ts'
import { type Netlist, parameterIndex } from './netlist.ts'
import { type ParameterKind, parameterName } from './parameter.ts'
import { wiperShare } from './taper.ts'

/**
 * One number that the equations are made of, and the rule that makes it from the value vector:
 * `inverse` 1/v, `same` v, `track` 1/(end + share · value) for one side of a potentiometer, `time` 1/(2π v).
 */
export type Primitive = {
  rule: 'inverse' | 'same' | 'track' | 'time'
  /** Place of the value (of the track's resistance) in the value vector. */
  parameter: number
  /** Only for `track`: place of the end resistance, the element's place in the netlist, and which side of the wiper. */
  end: number
  element: number
  side: 'ccw' | 'cw'
}

/** Collects primitives while branches are made; each gets the next slot. */
export class PrimitiveTable {
  readonly primitives: Primitive[] = []
  private readonly netlist: Netlist
  constructor(netlist: Netlist) {
    this.netlist = netlist
  }

  add(rule: 'inverse' | 'same' | 'time', designator: string, kind: ParameterKind): number {
    const parameter = parameterIndex(this.netlist, parameterName(designator, kind))
    return this.primitives.push({ rule, parameter, end: -1, element: -1, side: 'ccw' }) - 1
  }

  addTrack(element: number, designator: string, side: 'ccw' | 'cw'): number {
    const parameter = parameterIndex(this.netlist, designator)
    const end = parameterIndex(this.netlist, parameterName(designator, 'endResistance'))
    return this.primitives.push({ rule: 'track', parameter, end, element, side }) - 1
  }
}

/** Shortest track that is ever solved, ohm: a wiper at its stop without end resistance would be a division by zero. */
const leastTrackOhm = 1e-6

/** Wiper share of each primitive that is a track (others 0) with the controls where `positions` says. */
export const trackShares = (
  netlist: Netlist,
  primitives: readonly Primitive[],
  positions: ControlPositions,
): Float64Array =>
  Float64Array.from(primitives, ({ rule, element, side }) => {
    const pot = netlist.elements[element]
    if (rule !== 'track' || pot.kind !== 'potentiometer') return 0
    const position = pot.control === undefined ? pot.position : (positions[pot.control] ?? pot.position)
    const share = wiperShare(pot.taper, position, pot.midShare)
    return side === 'ccw' ? share : 1 - share
  })

/**
 * Fills the table of primitives from a value vector.
 *
 * @param shares from `trackShares`, for the setting to be solved
 * @param into the table; its length is that of `primitives`
 */
export const fillPrimitives = (
  primitives: readonly Primitive[],
  values: Float64Array,
  shares: Float64Array,
  into: Float64Array,
): Float64Array => {
  for (let i = 0; i < primitives.length; i++) {
    const { rule, parameter, end } = primitives[i]
    const value = values[parameter]
    if (rule === 'inverse') into[i] = 1 / value
    else if (rule === 'same') into[i] = value
    else if (rule === 'time') into[i] = 1 / (2 * Math.PI * value)
    else into[i] = 1 / Math.max(leastTrackOhm, values[end] + shares[i] * value)
  }
  return into
}

/** How much a primitive changes per unit of ln(value) of each parameter it is made from. */
export const primitiveSlopes = (
  { rule, parameter, end }: Primitive,
  values: Float64Array,
  share: number,
): { parameter: number; slope: number }[] => {
  const value = values[parameter]
  if (rule === 'inverse') return [{ parameter, slope: -1 / value }]
  if (rule === 'same') return [{ parameter, slope: value }]
  if (rule === 'time') return [{ parameter, slope: -1 / (2 * Math.PI * value) }]
  const track = Math.max(leastTrackOhm, values[end] + share * value)
  return [
    { parameter, slope: (-share * value) / track ** 2 },
    { parameter: end, slope: -values[end] / track ** 2 },
  ]
}
