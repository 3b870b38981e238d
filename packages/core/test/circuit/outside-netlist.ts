import { readFileSync } from 'node:fs'
import type { Circuit, CircuitElement } from '../../src/model/circuit.ts'

type Element = { t: 'V' | 'R' | 'C' | 'L' | 'OA' | 'OP'; n: string[]; v?: number | number[] }
type Net = { elements: Element[]; out: string }

const nets = (
  JSON.parse(readFileSync(new URL('./fixtures/netlists.json', import.meta.url), 'utf8')) as {
    nets: Record<string, Net>
  }
).nets

/** A netlist of the outside check values (shared/checks/data-open/netlists.json) as a circuit of ours. */
export const outsideCircuit = (name: string): Circuit => ({
  output: nets[name].out,
  ground: '0',
  elements: nets[name].elements.map((element, i) => convert(element, i + 1)),
})

const convert = ({ t, n, v }: Element, number: number): CircuitElement => {
  const nodes = n as [string, string]
  if (t === 'R') return { kind: 'resistor', designator: `R${number}`, nodes, value: v as number, place: 'board' }
  if (t === 'C')
    return {
      kind: 'capacitor',
      designator: `C${number}`,
      nodes,
      value: v as number,
      dielectric: 'film',
      place: 'board',
    }
  if (t === 'L') return { kind: 'inductor', designator: `L${number}`, nodes, value: v as number, place: 'board' }
  if (t === 'V')
    return {
      kind: 'source',
      designator: `V${number}`,
      nodes,
      role: 'signal',
      value: 0,
      seriesResistance: 0,
      place: 'rig',
    }
  const [gain, bandwidth] = t === 'OP' ? (v as number[]) : [1e10, 1e16]
  return idealAmplifier(`U${number}`, n as [string, string, string], 20 * Math.log10(gain), bandwidth)
}

/** An op-amp with nothing but gain: no input current, no output resistance. */
export const idealAmplifier = (
  designator: string,
  nodes: [string, string, string],
  openLoopGainDb: number,
  gainBandwidth: number,
): CircuitElement => ({
  kind: 'op-amp',
  designator,
  nodes,
  supplyNodes: ['0', '0'],
  openLoopGainDb,
  gainBandwidth,
  inputResistance: 1e18,
  inputCapacitance: 0,
  outputResistance: 0,
  noiseVoltage: 0,
  noiseCurrent: 0,
  slewRate: 1e9,
  headroomHighV: 0,
  headroomLowV: 0,
  supplyCurrent: 1e-3,
  gainBandwidthTolerance: 0,
})
