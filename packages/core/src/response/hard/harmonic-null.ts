import type { HardStep } from '../../model/hard-signature.ts'
import { wrapDeg } from './tone-harmonics.ts'

/** From one step to the next a harmonic that keeps its sign turns by less. */
const flipDeg = 90

/**
 * True when a harmonic goes through zero beside a step: it comes out with the other sign, and how deep it was in between no
 * step tells. Source: the Fourier series of a clipped cosine, whose order k changes its sign k - 3 times over level.
 * @param options.steps of one tone, by rising level
 */
export function hasNullBeside(options: { steps: readonly HardStep[]; at: number; order: number }): boolean {
  const { steps, at, order } = options
  const phaseOf = (i: number) => steps[i]?.harmonics.find((one) => one.order === order)?.phaseDeg
  const flips = (i: number, k: number) => {
    const [one, other] = [phaseOf(i), phaseOf(k)]
    return one !== undefined && other !== undefined && Math.abs(wrapDeg(one - other)) > flipDeg
  }
  return flips(at - 1, at) || flips(at, at + 1)
}
