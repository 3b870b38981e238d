import { predictWithSlopes, type SlopedPrediction } from './predict.ts'
import type { PreparedHypothesis } from './prepare-hypothesis.ts'
import { dbPerNeper, type Reading } from './reading.ts'

/** What is known of the measuring itself: standard deviations of what every run adds to what the board does. */
export type RigSpread = {
  /** Level of the whole visit, and from one contact to the next, dB. */
  levelDb: number
  contactDb: number
  /** Pure delay that is left in the phase, s. */
  delayS: number
  /** Position of a knob that is not at its stop, share of its rotation. */
  knob: number
}

const usualRigSpread: RigSpread = { levelDb: 0.1, contactDb: 0.03, delayS: 5e-5, knob: 0.005 }

/** Where in the vector of unknowns each kind stands; `knobs[r]` by control for reading r. */
type Layout = {
  latents: number
  reference: number
  free: number
  level: number
  contact: number
  delay: number
  knobs: Map<string, number>[]
  size: number
}

/** The healthy twin, and its predictions with slopes at each reading's tap with nominal parts. */
export type ReferenceBoard = { healthy: PreparedHypothesis; design: SlopedPrediction[] }

/** All readings of a board, ready to be compared with any hypothesis. */
export type EvidenceCase = {
  readings: readonly Reading[]
  rig: RigSpread
  /** The reference board that readings stand against: a healthy one with parts of its own. null: none. */
  reference: ReferenceBoard | null
  layout: Layout
  /** Gain rows then phase rows of each reading. */
  rows: number
  rowOf: number[]
}

/** Lays out a case. */
export const makeCase = (options: {
  readings: readonly Reading[]
  latentCount: number
  rig?: Partial<RigSpread>
  reference?: ReferenceBoard | null
}): EvidenceCase => {
  const { readings, latentCount, reference = null } = options
  const rowOf: number[] = []
  let rows = 0
  for (const reading of readings) {
    rowOf.push(rows)
    rows += 2 * reading.gain.length
  }
  const referenceCount = reference ? latentCount : 0
  const free = latentCount + referenceCount
  const contact = free + 2
  const delay = contact + readings.length
  let size = delay + readings.length
  const knobs = readings.map(({ tap }) => {
    const inner = Object.entries(tap.positions).filter(([, p]) => p > 0.01 && p < 0.99)
    return new Map(inner.map(([control]) => [control, size++]))
  })
  return {
    readings,
    rig: { ...usualRigSpread, ...options.rig },
    reference,
    layout: { latents: latentCount, reference: latentCount, free, level: free + 1, contact, delay, knobs, size },
    rows,
    rowOf,
  }
}

/** The reference board of readings: `healthy` is the hypothesis that nothing is wrong. */
export const referenceBoard = (healthy: PreparedHypothesis, readings: readonly Reading[]): ReferenceBoard => {
  const zero = { latents: new Float64Array(healthy.twin.latents.count), free: 0 }
  return { healthy, design: readings.map(({ tap }) => predictWithSlopes(healthy, zero, tap)) }
}

/** Standard deviations in the units of the rows: nepers. */
export const levelNepers = ({ rig }: EvidenceCase) => rig.levelDb / dbPerNeper
export const contactNepers = ({ rig }: EvidenceCase) => rig.contactDb / dbPerNeper

const everyOther = (values: Float64Array, step: number, from: number): Float64Array => {
  const kept = new Float64Array(Math.floor((values.length - 1 - from) / step) + 1)
  for (let k = 0; k < kept.length; k++) kept[k] = values[from + k * step]
  return kept
}

/** The same reading at fewer points, for a first look. */
export const coarseReading = (reading: Reading): Reading => {
  const step = Math.max(1, Math.floor(reading.gain.length / 12))
  const from = reading.gain.length > step ? Math.floor(((reading.gain.length - 1) % step) / 2) : 0
  const thin = (values: Float64Array) => everyOther(values, step, from)
  return {
    setting: reading.setting,
    against: reading.against,
    tap: { ...reading.tap, omega: thin(reading.tap.omega) },
    gain: thin(reading.gain),
    phase: thin(reading.phase),
    floor: thin(reading.floor),
    gainSigma: thin(reading.gainSigma),
    phaseSigma: thin(reading.phaseSigma),
  }
}
