import { z } from 'zod'

/** A value as a maker writes it: "4.7 nF", "47 kohm", "4k7", "4n7", or a plain number in the SI unit. */
export const QuantityText = z.union([z.string().min(1), z.number()])
export type QuantityText = z.infer<typeof QuantityText>

const Node = z.string().min(1)
const designator = z
  .string()
  .regex(/^[A-Z]{1,3}[0-9]+[A-Z]?$/, 'a designator is letters and a number, such as R3, C7, U1 or P2')
/** Half width of the tolerance as a fraction (0.05 is 5 %); two numbers where it is not symmetrical, such as [-0.2, 0.5]. */
const Tolerance = z.union([z.number().nonnegative(), z.tuple([z.number().nonpositive(), z.number().nonnegative()])])
/** How far this element's value is spread; `lot` is the share of the spread that a whole lot has in common (0 to 1). */
const spread = {
  tolerance: Tolerance.optional(),
  lotShare: z.number().min(0).max(1).optional(),
}
/** `rig`: belongs to the test fixture (its source, supply, load): never drawn, never suspected. */
const place = { place: z.enum(['board', 'rig']).default('board') }

export const Resistor = z.object({
  kind: z.literal('resistor'),
  designator,
  nodes: z.tuple([Node, Node]),
  value: QuantityText,
  ...spread,
  ...place,
})
export const Capacitor = z.object({
  kind: z.literal('capacitor'),
  designator,
  /** For a polarised capacitor the first node is the positive one. */
  nodes: z.tuple([Node, Node]),
  value: QuantityText,
  dielectric: z.enum(['film', 'ceramic', 'electrolytic']).default('film'),
  seriesResistance: QuantityText.optional(),
  leakageResistance: QuantityText.optional(),
  ...spread,
  ...place,
})
export const Inductor = z.object({
  kind: z.literal('inductor'),
  designator,
  nodes: z.tuple([Node, Node]),
  value: QuantityText,
  seriesResistance: QuantityText.optional(),
  ...spread,
  ...place,
})
export const Potentiometer = z.object({
  kind: z.literal('potentiometer'),
  designator,
  /** Counter-clockwise end, wiper, clockwise end. */
  nodes: z.tuple([Node, Node, Node]),
  value: QuantityText,
  taper: z.enum(['linear', 'logarithmic', 'reverse-logarithmic']).default('linear'),
  /** Share of the resistance at mid rotation for a logarithmic taper. */
  midShare: z.number().min(0.02).max(0.5).default(0.15),
  /** The control that turns it; without one it is a trimmer at `position`. */
  control: z.string().optional(),
  position: z.number().min(0).max(1).default(0.5),
  endResistance: QuantityText.default('1 ohm'),
  ...spread,
  ...place,
})
export const OperationalAmplifier = z.object({
  kind: z.literal('op-amp'),
  designator,
  /** Non-inverting input, inverting input, output. Sections of one package share the number: U1A, U1B. */
  nodes: z.tuple([Node, Node, Node]),
  supplyNodes: z.tuple([Node, Node]),
  openLoopGainDb: z.number().min(20).max(200).default(100),
  gainBandwidth: QuantityText.default('1 MHz'),
  secondPole: QuantityText.optional(),
  inputResistance: QuantityText.default('1 Mohm'),
  inputCapacitance: QuantityText.default('2 pF'),
  outputResistance: QuantityText.default('100 ohm'),
  /** Input noise voltage (V per root hertz) and current (A per root hertz). */
  noiseVoltage: z.number().nonnegative().default(20e-9),
  noiseCurrent: z.number().nonnegative().default(1e-13),
  /** V per second. */
  slewRate: z.number().positive().default(5e5),
  /** How near the output comes to the supply rails, V. */
  headroomHighV: z.number().nonnegative().default(1.2),
  headroomLowV: z.number().nonnegative().default(1.0),
  supplyCurrent: QuantityText.default('0.25 mA'),
  gainBandwidthTolerance: z.number().min(0).max(0.95).default(0.5),
})
export const Diode = z.object({
  kind: z.literal('diode'),
  designator,
  /** Anode, cathode. */
  nodes: z.tuple([Node, Node]),
  saturationCurrent: QuantityText.default('2.5 nA'),
  idealityFactor: z.number().min(0.9).max(3).default(1.8),
})
export const Zener = z.object({
  kind: z.literal('zener'),
  designator,
  /** Anode, cathode. */
  nodes: z.tuple([Node, Node]),
  breakdown: QuantityText,
  dynamicResistance: QuantityText.default('10 ohm'),
})
export const VoltageSource = z.object({
  kind: z.literal('source'),
  designator,
  /** Positive, negative. */
  nodes: z.tuple([Node, Node]),
  role: z.enum(['signal', 'supply']),
  /** Direct voltage, V (0 for a signal source). */
  value: QuantityText.default('0 V'),
  seriesResistance: QuantityText.default('0 ohm'),
  place: z.enum(['board', 'rig']).default('rig'),
})

export const CircuitElement = z.discriminatedUnion('kind', [
  Resistor,
  Capacitor,
  Inductor,
  Potentiometer,
  OperationalAmplifier,
  Diode,
  Zener,
  VoltageSource,
])
export type CircuitElement = z.infer<typeof CircuitElement>

/** The electrical description that the response maths works on. Node "0" is ground. */
export const Circuit = z.object({
  output: Node,
  ground: Node.default('0'),
  elements: z.array(CircuitElement).min(1),
})
export type Circuit = z.infer<typeof Circuit>

/** Where each control stands: 0 fully counter-clockwise, 1 fully clockwise. */
export const ControlPositions = z.record(z.string(), z.number().min(0).max(1))
export type ControlPositions = z.infer<typeof ControlPositions>
