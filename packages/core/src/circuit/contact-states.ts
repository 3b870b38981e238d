import type { Circuit, CircuitElement } from '../model/circuit.ts'
import type { Product } from '../model/product.ts'
import type { ReferenceSetting } from '../model/reference.ts'
import type { RigSettings } from '../model/rig.ts'
import { valueAt } from '../response/curve/correct-curve.ts'
import type { ContactState } from '../response/level/contact-check.ts'
import { contactFrequenciesHz } from '../response/level/contact-tone.ts'
import { voltageGainOffsetDb } from '../response/level/level-calibration.ts'
import { applyFaults } from './apply-fault.ts'
import type { Fault } from './fault.ts'
import { operatingPointOf } from './operating-point.ts'
import { prepareCircuit } from './prepare-circuit.ts'
import { gainDbOf, responseOf } from './response.ts'
import { rigCircuit } from './rig-circuit.ts'
import { positionsOf } from './simulate-recording.ts'

/** A state before its answer is worked out. */
type Way = Omit<ContactState, 'gainDb'> & { circuit: Circuit }

/** How common each is. Estimates, no source; they only decide between states that answer alike. */
const weights = { sound: 20, unpowered: 0.5, pin: 0.3, cable: 0.2, bridge: 0.1, dead: 0.1, stuck: 0.05 }
/**
 * How far boards lie from the prediction, dB: tolerances; stray parts that are estimated; how an op-amp without supply
 * leaks, which its data do not tell. Estimates, no source.
 */
const spreadsDb = { sound: 2.5, faulty: 4, leaking: 15 }
/** Nothing comes back at all, dB. */
const nothingDb = -200

/**
 * How board and rig would answer the contact tone in each state that the contact check knows, worked out by the circuit
 * twin: sound; without power; a pin of the rig that does not touch, or is shorted to ground; an op-amp that is dead or
 * stuck.
 *
 * @param options.reference the reference board at this setting: the sound board then answers as measured, not as computed
 * @param options.rig what the rig adds to a gain, what drives the board and what loads it. Without a correction or a
 *   calibration, the reference tells what it adds.
 * Errors: setting-unknown, bad-circuit.
 */
export const contactStates = (options: {
  product: Pick<Product, 'circuit' | 'settings'>
  setting: string
  reference?: ReferenceSetting
  rig?: ContactRig
}): ContactState[] => {
  const { product, setting, reference, rig } = options
  const circuit = rig ? rigCircuit(product.circuit, rig) : product.circuit
  const positions = positionsOf(product, setting)
  const answer = ({ circuit: changed, ...state }: Way): ContactState => {
    const netlist = prepareCircuit(changed)
    const { values } = operatingPointOf({ netlist, positions })
    const gain = gainDbOf(responseOf({ netlist, values, positions, frequencyHz: contactFrequenciesHz }))
    return { ...state, gainDb: [...gain] }
  }
  const sound: Way = {
    kind: 'ok',
    words: 'the board answers as it should',
    spreadDb: spreadsDb.sound,
    weight: weights.sound,
    circuit,
  }
  const cable: ContactState = {
    kind: 'open-pin',
    words: 'the cable from the rig to the input of the sound interface is out',
    spreadDb: spreadsDb.faulty,
    weight: weights.cable,
    gainDb: contactFrequenciesHz.map(() => nothingDb),
  }
  const computed = answer(sound)
  const measuredDb = reference && atTones(reference.curve)
  const faulty = [...withoutPower(circuit), ...atPins(circuit), ...deadChips(circuit)].map(answer)
  const addedDb = addedByRig({ rig, measuredDb, computedDb: computed.gainDb })
  const plus = (gainDb: readonly number[], more: readonly number[]) => gainDb.map((g, i) => g + more[i])
  // A corrected reference has the rig taken out; an uncorrected one has it in already.
  const correctionDb = atTones(rig?.correction ?? flat)
  return [
    { ...computed, gainDb: measuredDb ? plus(measuredDb, correctionDb) : plus(computed.gainDb, addedDb) },
    ...faulty.map((state) => ({ ...state, gainDb: plus(state.gainDb, addedDb) })),
    cable,
  ]
}

/** What of a rig's settings bears on a contact check. */
export type ContactRig = Pick<RigSettings, 'calibration' | 'correction' | 'sourceResistanceOhm' | 'loadResistanceOhm'>

const flat = { frequencyHz: [1], gainDb: [0] }

/**
 * What the rig adds to a gain at each tone, dB: by its correction, its calibration, or where it has neither by how much the
 * reference board reads more than computed.
 */
function addedByRig(options: {
  rig: ContactRig | undefined
  measuredDb: readonly number[] | undefined
  computedDb: readonly number[]
}): readonly number[] {
  const { rig, measuredDb, computedDb } = options
  if (rig?.correction) return atTones(rig.correction)
  if (rig?.calibration) return contactFrequenciesHz.map(() => -voltageGainOffsetDb(rig.calibration!))
  if (!rig || !measuredDb) return contactFrequenciesHz.map(() => 0)
  const [, middle] = measuredDb.map((gain, i) => gain - computedDb[i]).sort((a, b) => a - b)
  return contactFrequenciesHz.map(() => middle)
}

const atTones = ({ frequencyHz, gainDb }: { frequencyHz: readonly number[]; gainDb: readonly number[] }): number[] =>
  contactFrequenciesHz.map((f) => valueAt(frequencyHz, gainDb, f))

const amplifiers = (circuit: Circuit): string[] =>
  circuit.elements.flatMap((e) => (e.kind === 'op-amp' ? [e.designator] : []))

const dead = (designator: string): Fault => ({ kind: 'dead', designator })

/**
 * An op-amp without supply holds its output to ground, or lets go of it, or leaks in some way of its own: which of them
 * depends on the kind, so all are looked for.
 */
function withoutPower(circuit: Circuit): Way[] {
  const off: Circuit = {
    ...circuit,
    elements: circuit.elements.map(
      (e): CircuitElement => (e.kind === 'source' && e.role === 'supply' ? { ...e, value: '0 V' } : e),
    ),
  }
  const letGo = applyFaults(off, amplifiers(circuit).map(dead))
  const state = { kind: 'unpowered', words: 'the board has no power', weight: weights.unpowered } as const
  return [
    { ...state, spreadDb: spreadsDb.faulty, circuit: off },
    { ...state, spreadDb: spreadsDb.faulty, circuit: letGo },
    { ...state, spreadDb: spreadsDb.leaking, circuit: letGo },
  ]
}

/** A bridge from input to output answers like a board with a wrong part: that is left to the sweep and the diagnosis. */
function atPins(circuit: Circuit): Way[] {
  const { output, ground } = circuit
  const inputs = circuit.elements.flatMap((e) =>
    e.kind === 'source' && e.role === 'signal' ? e.nodes.filter((node) => node !== ground) : [],
  )
  return [...inputs, output].flatMap((node): Way[] => [
    {
      kind: 'open-pin',
      words: `the pin at ${node} does not touch`,
      spreadDb: spreadsDb.faulty,
      weight: weights.pin,
      circuit: applyFaults(circuit, [{ kind: 'pin-open', node }]),
    },
    {
      kind: 'short',
      words: `${node} is shorted to ground`,
      spreadDb: spreadsDb.faulty,
      weight: weights.bridge,
      circuit: applyFaults(circuit, [{ kind: 'bridge', nodes: [node, ground], value: '0.1 ohm' }]),
    },
  ])
}

function deadChips(circuit: Circuit): Way[] {
  const sections = amplifiers(circuit)
  // U1A and U1B are sections of U1.
  const chipOf = (section: string) => section.replace(/[A-Z]$/, '')
  const way = (words: string, weight: number, faults: readonly Fault[]): Way => ({
    kind: 'dead-chip',
    words,
    spreadDb: spreadsDb.faulty,
    weight,
    circuit: applyFaults(circuit, faults),
  })
  const whole = [...new Set(sections.map(chipOf))].flatMap((chip) => {
    const its = sections.filter((section) => chipOf(section) === chip)
    return its.length > 1 ? [way(`${chip} is dead`, weights.dead, its.map(dead))] : []
  })
  const single = sections.flatMap((section) => [
    way(`${section} is dead`, weights.dead, [dead(section)]),
    way(`the output of ${section} is stuck`, weights.stuck, [{ kind: 'stuck-high', designator: section }]),
    way(`the output of ${section} is stuck`, weights.stuck, [{ kind: 'stuck-low', designator: section }]),
  ])
  return [...whole, ...single]
}
