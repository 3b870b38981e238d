/**
 * A source of random numbers that gives the same sequence for the same seed on every machine.
 *
 * Source: xoshiro128** of D. Blackman and S. Vigna (ACM Trans. Math. Softw. 47, 2021), seeded through splitmix32, both
 * written from their published recurrences.
 */
export class RandomSource {
  private s0: number
  private s1: number
  private s2: number
  private s3: number
  private spare = Number.NaN

  /** @param seed any whole number, or the four words of the state themselves */
  constructor(seed: number | readonly [number, number, number, number]) {
    if (typeof seed !== 'number') [this.s0, this.s1, this.s2, this.s3] = seed
    else {
      let state = Math.trunc(seed) | 0
      // Words beyond 32 bits count too: seeds such as times in milliseconds must not collide.
      state ^= Math.imul(Math.trunc(seed / 2 ** 32) | 0, 0x9e3779b1)
      const word = () => {
        state = (state + 0x9e3779b9) | 0
        let z = state
        z = Math.imul(z ^ (z >>> 16), 0x21f0aaad)
        z = Math.imul(z ^ (z >>> 15), 0x735a2d97)
        return z ^ (z >>> 15)
      }
      ;[this.s0, this.s1, this.s2, this.s3] = [word(), word(), word(), word()]
    }
  }

  /** The next 32 random bits, 0 to 2^32 − 1. */
  bits(): number {
    const x = Math.imul(this.s1, 5)
    const result = Math.imul((x << 7) | (x >>> 25), 9) >>> 0
    const t = this.s1 << 9
    this.s2 ^= this.s0
    this.s3 ^= this.s1
    this.s1 ^= this.s2
    this.s0 ^= this.s3
    this.s2 ^= t
    this.s3 = (this.s3 << 11) | (this.s3 >>> 21)
    return result
  }

  /** Uniform on [0, 1), 53 bits. */
  uniform(): number {
    const high = this.bits() >>> 5
    const low = this.bits() >>> 6
    return (high * 67_108_864 + low) / 9_007_199_254_740_992
  }

  /** Standard normal. Source: polar method of G. Marsaglia and T. A. Bray, SIAM Review 6 (1964). */
  normal(): number {
    if (!Number.isNaN(this.spare)) {
      const kept = this.spare
      this.spare = Number.NaN
      return kept
    }
    for (;;) {
      const u = 2 * this.uniform() - 1
      const v = 2 * this.uniform() - 1
      const s = u * u + v * v
      if (s >= 1 || s === 0) continue
      const scale = Math.sqrt((-2 * Math.log(s)) / s)
      this.spare = v * scale
      return u * scale
    }
  }
}

/** A seed for something named, so that parts and lots draw independently of the order they are asked in. */
export const seedOf = (seed: number, name: string): number => {
  let hash = 0x811c9dc5 ^ (Math.trunc(seed) | 0)
  for (let i = 0; i < name.length; i++) hash = Math.imul(hash ^ name.charCodeAt(i), 0x01000193)
  return hash >>> 0
}
