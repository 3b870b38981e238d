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
  return samples.map((value, i) => {
    const t = i / rateHz
    const turn = 2 * Math.PI * (mainsHz * t + 0.5 * driftHz * t * t)
    const level = amplitude * (1 + unrest * Math.sin(2 * Math.PI * 0.7 * t))
    return multiples.reduce((sum, part, k) => sum + level * part * Math.cos((k + 1) * (turn + phaseRad) + k * k), value)
  })
}
