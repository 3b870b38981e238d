import { regularisedGamma } from './incomplete-gamma.ts'
import { normalProbability } from './normal.ts'

/** Error function: 2 / sqrt(pi) times the integral of exp(-t^2) from 0 to x. Source: DLMF 7.2.1 and 7.11.1. */
export function errorFunction(x: number): number {
  return Math.sign(x) * regularisedGamma({ shape: 0.5, x: x * x }).lower
}

/** Complementary error function 1 - erf x, accurate in its far tail. Source: DLMF 7.2.2; 2 Q(x sqrt 2). */
export function complementaryErrorFunction(x: number): number {
  return 2 * normalProbability({ z: x * Math.SQRT2, tail: 'upper' })
}
