import { RandomSource, seedOf } from '../circuit/random.ts'

/** How far a simulated rig has gone from what it was, dB. */
export interface RigDrift {
  /** At all frequencies alike: a level knob that was touched, a supply that sinks. */
  levelDb?: number
  /** Above some kilohertz: a worn cable, a corroded pin. */
  trebleDb?: number
}

export interface SimulatedDrift {
  /** Drift of the rig, for good or by the how-manieth board it is that is put in, from 0. */
  drift?: RigDrift | ((boardsBefore: number) => RigDrift)
  /** Standard deviation of the level from one time a board is put in to the next, dB; of the treble it is half as much. */
  contactDb?: number
}

/** Where the treble of a worn cable begins to differ, Hz: half of its change. Invented for the simulation. */
const shelfHz = 4000

/** Follows which board is in the simulated rig, and what the rig does to it while it is in. */
export function makeSimulatedContact(
  options: SimulatedDrift & { seed: number },
): (board: string) => Required<RigDrift> {
  const { drift = {}, contactDb = 0, seed } = options
  let inRig: string | undefined
  let boards = -1
  let now = { levelDb: 0, trebleDb: 0 }
  return (board) => {
    if (board === inRig) return now
    inRig = board
    boards++
    const { levelDb = 0, trebleDb = 0 } = typeof drift === 'function' ? drift(boards) : drift
    const random = new RandomSource(seedOf(seed, `contact ${boards} ${board}`))
    now = { levelDb: levelDb + contactDb * random.normal(), trebleDb: trebleDb + 0.5 * contactDb * random.normal() }
    return now
  }
}

/**
 * What comes back through a rig that has drifted: a gain, and a first-order shelf above some kilohertz, in place.
 * Source: bilinear transform of (1 + g s/w) / (1 + s/w), prewarped; Oppenheim and Schafer, "Discrete-Time Signal
 * Processing", 7.2.
 */
export function applyDrift(
  samples: Float64Array,
  { levelDb, trebleDb, rateHz }: Required<RigDrift> & { rateHz: number },
): void {
  if (levelDb === 0 && trebleDb === 0) return
  const level = 10 ** (levelDb / 20)
  const treble = 10 ** (trebleDb / 20)
  // Half of the shelf's change, in dB, lies where s/w = 1/sqrt(g).
  const k = Math.tan((Math.PI * shelfHz) / rateHz) * Math.sqrt(treble)
  const a0 = k + 1
  const b0 = (level * (k + treble)) / a0
  const b1 = (level * (k - treble)) / a0
  const a1 = (k - 1) / a0
  let x1 = 0
  let y1 = 0
  for (let i = 0; i < samples.length; i++) {
    const x = samples[i]
    y1 = b0 * x + b1 * x1 - a1 * y1
    x1 = x
    samples[i] = y1
  }
}
