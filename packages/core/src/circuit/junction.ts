/** Boltzmann constant over elementary charge at 300 K, V. Source: SI defining constants (2019). */
const thermalV = (1.380649e-23 * 300) / 1.602176634e-19

/** Current through a junction and its slope at a voltage. */
export type JunctionState = { currentA: number; conductanceS: number }

export type DiodeLaw = { saturationA: number; ideality: number }

/**
 * Diode current at a forward voltage. Beyond half an ampere the exponential goes on as its tangent, so that a wild step of the
 * search stays finite.
 *
 * Source: W. Shockley, "The theory of p-n junctions in semiconductors", Bell System Technical Journal 28 (1949).
 */
export const diodeState = ({ saturationA, ideality }: DiodeLaw, forwardV: number): JunctionState => {
  const scale = ideality * thermalV
  const limit = scale * Math.log(0.5 / saturationA + 1)
  const v = Math.min(forwardV, limit)
  const e = Math.exp(Math.max(v / scale, -80))
  const conductanceS = (saturationA * e) / scale
  return { currentA: saturationA * (e - 1) + conductanceS * (forwardV - v), conductanceS: conductanceS + 1e-12 }
}

export type ZenerLaw = { breakdownV: number; dynamicOhm: number }

/** Width of the knee of a zener, V: common practice, no source; only the supply path uses it. */
const kneeV = 0.03
const zenerForward: DiodeLaw = { saturationA: 1e-12, ideality: 1 }

/** Zener current (anode to cathode) at a forward voltage: a diode forward, the dynamic resistance beyond breakdown backward. */
export const zenerState = ({ breakdownV, dynamicOhm }: ZenerLaw, forwardV: number): JunctionState => {
  const forward = diodeState(zenerForward, forwardV)
  const x = (-forwardV - breakdownV) / kneeV
  // ln(1 + e^x) without overflow.
  const soft = Math.max(x, 0) + Math.log1p(Math.exp(-Math.abs(x)))
  const slope = 1 / (1 + Math.exp(-x))
  return {
    currentA: forward.currentA - (kneeV * soft) / dynamicOhm,
    conductanceS: forward.conductanceS + slope / dynamicOhm,
  }
}
