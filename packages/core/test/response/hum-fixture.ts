/** Mains hum as it is heard: multiples with their own phases, a frequency that may drift, a level that may change. */
export interface SimulatedHum {
  mainsHz: number
  levelDbfs: number
  /** Hz per second. */
  driftHz?: number
  phaseRad?: number
  /** Amplitudes of the multiples over the first one. */
  multiples?: readonly number[]
  /** Depth of a slow change of the level (0.7 Hz). */
  unrest?: number
}

export const hummed = (samples: Float64Array, rateHz: number, hum: SimulatedHum): Float64Array => {
  const { mainsHz, levelDbfs, driftHz = 0, phaseRad = 0.4, multiples = [1, 0, 0.3], unrest = 0 } = hum
  const amplitude = 10 ** (levelDbfs / 20)
  const heard = multiples.flatMap((part, k) => (part === 0 ? [] : [{ order: k + 1, part, phase: k * k }]))
  const out = samples.slice()
  for (let i = 0; i < out.length; i++) {
    const t = i / rateHz
    const turn = 2 * Math.PI * (mainsHz * t + 0.5 * driftHz * t * t) + phaseRad
    const level = unrest === 0 ? amplitude : amplitude * (1 + unrest * Math.sin(2 * Math.PI * 0.7 * t))
    for (const { order, part, phase } of heard) out[i] += level * part * Math.cos(order * turn + phase)
  }
  return out
}
