/** Index of the point nearest to a frequency, measured in octaves. */
export function nearest(frequencyHz: readonly number[], wantedHz: number): number {
  let best = 0
  for (const [i, f] of frequencyHz.entries())
    if (Math.abs(Math.log(f / wantedHz)) < Math.abs(Math.log((frequencyHz[best] ?? f) / wantedHz))) best = i
  return best
}
