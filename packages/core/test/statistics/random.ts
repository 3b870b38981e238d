/** Uniform numbers on [0, 1) from a seed (mulberry32, public domain by Tommy Ettinger; constants from memory). */
export function uniformSource(seed: number): () => number {
  let state = seed >>> 0
  return () => {
    state = (state + 0x6d2b79f5) >>> 0
    let t = Math.imul(state ^ (state >>> 15), state | 1)
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61)
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296
  }
}

/** Standard normal numbers from a seed (Box and Muller 1958). */
export function normalSource(seed: number): () => number {
  const uniform = uniformSource(seed)
  return () => Math.sqrt(-2 * Math.log(1 - uniform())) * Math.cos(2 * Math.PI * uniform())
}
