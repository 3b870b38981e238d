import type { HardStep } from '../../model/hard-signature.ts'

/** Where a tone begins to clip, and how. Levels are peaks at the board's input, V; null where the ladder does not reach. */
export interface ToneClipping {
  toneHz: number
  /** Gain at the lowest level, dB. */
  smallGainDb: number
  /** From here on total harmonic distortion is above the plan's limit; `below` when it is from the first step on. */
  clipV: number | null
  clipsBelowLadder: boolean
  /** Here the gain has fallen by 1 dB. */
  compressionV: number | null
  /** Largest swing of the output, V. */
  highV: number
  lowV: number
  /**
   * Level at which the lower half of the wave is held less than the level at which the upper half is, dB: positive when the
   * upper half is held first. null when neither is held; where one is not, the top of the ladder stands for it.
   */
  halvesDb: number | null
}

/** A half of the wave is held when its peak grows by this much less than the level, dB. */
const heldDb = 0.5
const compressionDb = 1

const decibels = (ratio: number): number => 20 * Math.log10(Math.max(ratio, 1e-12))
/**
 * Distortion as something that grows evenly with the level where a board begins to clip: past a hard limit it grows with
 * the power 3/2 of what is beyond (the series of a clipped cosine, its first term).
 */
const bend = (thdPercent: number): number => thdPercent ** (2 / 3)

/** Input level at which `values` rises through `limit`, V, on a straight line between two steps in dB; null when it does not. */
function crossing(steps: readonly HardStep[], values: readonly number[], limit: number): number | null {
  const at = values.findIndex((value) => value >= limit)
  if (at < 0) return null
  if (at === 0) return steps[0].inputV
  const share = (limit - values[at - 1]) / (values[at] - values[at - 1])
  return steps[at - 1].inputV * (steps[at].inputV / steps[at - 1].inputV) ** share
}

/**
 * Works out one tone of the ladder.
 * @param options.steps the steps of this tone, by rising level
 * @param options.clipPercent total harmonic distortion from which on the tone counts as clipped
 */
export function toneClipping(options: { steps: readonly HardStep[]; clipPercent: number }): ToneClipping {
  const { steps, clipPercent } = options
  const [first] = steps
  const held = (peakOf: (one: HardStep) => number) => {
    const base = decibels(peakOf(first) / first.inputV)
    return crossing(
      steps,
      steps.map((one) => base - decibels(peakOf(one) / one.inputV)),
      heldDb,
    )
  }
  const upperV = held((one) => one.highV)
  const lowerV = held((one) => -one.lowV)
  const topV = steps[steps.length - 1].inputV
  return {
    toneHz: first.toneHz,
    smallGainDb: first.gainDb,
    clipV: crossing(
      steps,
      steps.map((one) => bend(one.thdPercent)),
      bend(clipPercent),
    ),
    clipsBelowLadder: first.thdPercent >= clipPercent,
    compressionV: crossing(
      steps,
      steps.map((one) => first.gainDb - one.gainDb),
      compressionDb,
    ),
    highV: Math.max(...steps.map((one) => one.highV)),
    lowV: Math.min(...steps.map((one) => one.lowV)),
    halvesDb: upperV === null && lowerV === null ? null : decibels((lowerV ?? topV) / (upperV ?? topV)),
  }
}

/** The steps of every tone, each by rising level. */
export function stepsByTone(steps: readonly HardStep[]): { toneHz: number; steps: HardStep[] }[] {
  const tones = new Map<number, HardStep[]>()
  for (const step of steps) tones.set(step.toneHz, [...(tones.get(step.toneHz) ?? []), step])
  return [...tones].map(([toneHz, of]) => ({ toneHz, steps: of.toSorted((a, b) => a.inputV - b.inputV) }))
}
