import type { CircuitElement } from '../model/circuit.ts'
import { BoardwrightError } from '../model/error.ts'
import type { Dimension } from './dimension.ts'
import { parseQuantity } from './quantity.ts'

/** What a number of the value vector is. `gain` and `conductance` have no written unit: they come from the model. */
export type ParameterKind =
  | 'value'
  | 'seriesResistance'
  | 'leakageResistance'
  | 'endResistance'
  | 'openLoopGain'
  | 'gainBandwidth'
  | 'secondPole'
  | 'inputResistance'
  | 'inputCapacitance'
  | 'outputResistance'
  | 'conductance'

/**
 * One number of a circuit's value vector. `nominal` is in the SI unit (a gain in V/V, a diode's small-signal conductance in
 * siemens). `spreadLow` and `spreadHigh` are the tolerance as fractions, low one negative or zero.
 */
export type Parameter = {
  name: string
  designator: string
  kind: ParameterKind
  dimension: Dimension | 'gain' | 'conductance'
  nominal: number
  spreadLow: number
  spreadHigh: number
  lotShare: number
  /** Parameters of one group are spread together: two sections of one op-amp are made on one chip. */
  group: string
  place: 'board' | 'rig'
}

type Entry = { kind: ParameterKind; dimension: Parameter['dimension']; written: string | number | undefined }

/** Name of a parameter: "R5" for the value of a part, "C1.seriesResistance" for what else is known of it. */
export const parameterName = (designator: string, kind: ParameterKind): string =>
  kind === 'value' ? designator : `${designator}.${kind}`

/**
 * The numbers that describe one element, in a fixed order.
 *
 * @throws BoardwrightError `bad-circuit` naming the part when a value cannot be read or is physically impossible
 */
export const parametersOf = (element: CircuitElement): Parameter[] =>
  entriesOf(element).map(({ kind, dimension, written }) => {
    const nominal = readValue(element.designator, kind, dimension, written)
    const { spreadLow, spreadHigh } = spreadOf(element, kind)
    return {
      name: parameterName(element.designator, kind),
      designator: element.designator,
      kind,
      dimension,
      nominal,
      spreadLow,
      spreadHigh,
      lotShare: 'lotShare' in element ? (element.lotShare ?? 0) : 0,
      group: element.kind === 'op-amp' ? element.designator.replace(/[A-Z]$/, '') : element.designator,
      place: 'place' in element ? element.place : 'board',
    }
  })

const entriesOf = (element: CircuitElement): Entry[] => {
  switch (element.kind) {
    case 'resistor':
      return [{ kind: 'value', dimension: 'resistance', written: element.value }]
    case 'capacitor':
      return [
        { kind: 'value', dimension: 'capacitance', written: element.value },
        { kind: 'seriesResistance', dimension: 'resistance', written: element.seriesResistance ?? 0 },
        { kind: 'leakageResistance', dimension: 'resistance', written: element.leakageResistance },
      ]
    case 'inductor':
      return [
        { kind: 'value', dimension: 'inductance', written: element.value },
        { kind: 'seriesResistance', dimension: 'resistance', written: element.seriesResistance ?? 0 },
      ]
    case 'potentiometer':
      return [
        { kind: 'value', dimension: 'resistance', written: element.value },
        { kind: 'endResistance', dimension: 'resistance', written: element.endResistance },
      ]
    case 'op-amp':
      return [
        { kind: 'openLoopGain', dimension: 'gain', written: 10 ** (element.openLoopGainDb / 20) },
        { kind: 'gainBandwidth', dimension: 'frequency', written: element.gainBandwidth },
        { kind: 'secondPole', dimension: 'frequency', written: element.secondPole },
        { kind: 'inputResistance', dimension: 'resistance', written: element.inputResistance },
        { kind: 'inputCapacitance', dimension: 'capacitance', written: element.inputCapacitance },
        { kind: 'outputResistance', dimension: 'resistance', written: element.outputResistance },
      ]
    case 'diode':
    case 'zener':
      // Set from the operating point; this start is a diode that carries no current.
      return [{ kind: 'conductance', dimension: 'conductance', written: 1e-12 }]
    case 'source':
      return [
        { kind: 'value', dimension: 'voltage', written: element.value },
        { kind: 'seriesResistance', dimension: 'resistance', written: element.seriesResistance },
      ]
  }
}

// What may be zero without being impossible; a leakage or second pole that is not given is infinite.
const mayBeZero = new Set<ParameterKind>(['seriesResistance', 'endResistance', 'inputCapacitance', 'outputResistance'])

const readValue = (
  designator: string,
  kind: ParameterKind,
  dimension: Parameter['dimension'],
  written: string | number | undefined,
): number => {
  if (written === undefined) return Number.POSITIVE_INFINITY
  if (dimension === 'gain' || dimension === 'conductance') return Number(written)
  const name = kind === 'value' ? designator : `${designator} (${kind})`
  let value: number
  try {
    value = parseQuantity(written, dimension)
  } catch (cause) {
    throw new BoardwrightError('bad-circuit', `${name}: ${(cause as Error).message}`, {
      remedy: (cause as BoardwrightError).remedy,
      cause,
    })
  }
  if (dimension === 'voltage' || value > 0 || (value === 0 && mayBeZero.has(kind))) return value
  throw new BoardwrightError('bad-circuit', `${name} has the impossible value ${written}: it must be above zero.`)
}

const spreadOf = (element: CircuitElement, kind: ParameterKind): { spreadLow: number; spreadHigh: number } => {
  if (element.kind === 'op-amp' && kind === 'gainBandwidth')
    return { spreadLow: -element.gainBandwidthTolerance, spreadHigh: element.gainBandwidthTolerance }
  if (kind !== 'value' || !('tolerance' in element) || element.tolerance === undefined)
    return { spreadLow: 0, spreadHigh: 0 }
  const { tolerance } = element
  if (typeof tolerance === 'number') return { spreadLow: -tolerance, spreadHigh: tolerance }
  return { spreadLow: tolerance[0], spreadHigh: tolerance[1] }
}
