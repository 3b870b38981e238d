import type { ControlPositions } from '../model/circuit.ts'
import type { Twin } from './twin.ts'

/** Wiper shares at a setting, and how they change with each control that does not stand at its stop. */
export type SettingShares = { shares: Float64Array; controls: { control: string; slope: Float64Array }[] }

const sharesByTwin = new WeakMap<Twin, WeakMap<ControlPositions, SettingShares>>()

/** Step of a control's position for its slope. */
const positionStep = 1e-3
/** A knob nearer to its stop than this stands at it exactly. */
const stop = 0.01

/** Shares of a setting; worked out once per object of positions. */
export const sharesAt = (twin: Twin, positions: ControlPositions): SettingShares => {
  const kept = sharesByTwin.get(twin) ?? new WeakMap<ControlPositions, SettingShares>()
  sharesByTwin.set(twin, kept)
  const found = kept.get(positions)
  if (found) return found
  const { circuit } = twin
  const controls = Object.entries(positions)
    .filter(([, p]) => p > stop && p < 1 - stop)
    .map(([control, p]) => {
      const after = circuit.shares({ ...positions, [control]: p + positionStep })
      const before = circuit.shares({ ...positions, [control]: p - positionStep })
      return { control, slope: after.map((x, q) => (x - before[q]) / (2 * positionStep)) }
    })
  const made = { shares: circuit.shares(positions), controls }
  kept.set(positions, made)
  return made
}

/** Which slots of the table of primitives matter, and which latent numbers hang on each. */
export type SlopePlan = {
  wanted: Uint8Array
  slots: { slot: number; parameter: number; parts: readonly { latent: number; weight: number }[] }[]
  /** Latent numbers that any slot moves. */
  felt: Uint8Array
}

const plansByTwin = new WeakMap<Twin, Map<number, SlopePlan>>()

/** The plan for a twin with one parameter free (−1: none). */
export const slopePlan = (twin: Twin, free: number): SlopePlan => {
  const kept = plansByTwin.get(twin) ?? new Map<number, SlopePlan>()
  plansByTwin.set(twin, kept)
  const found = kept.get(free)
  if (found) return found
  const partsOf = new Map(twin.latents.spreads.map((s) => [s.parameter, s.parts]))
  const { primitives } = twin.circuit.equations.list
  const wanted = Uint8Array.from(primitives, (p) => (partsOf.has(p.parameter) || p.parameter === free ? 1 : 0))
  const slots = primitives.flatMap(({ parameter }, slot) =>
    wanted[slot] ? [{ slot, parameter, parts: partsOf.get(parameter) ?? [] }] : [],
  )
  const felt = new Uint8Array(twin.latents.count)
  for (const { parts } of slots) for (const { latent } of parts) felt[latent] = 1
  const made = { wanted, slots, felt }
  kept.set(free, made)
  return made
}
