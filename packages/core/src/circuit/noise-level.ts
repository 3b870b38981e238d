/**
 * A-weighting of a frequency as a factor on amplitudes, 1 at 1 kHz.
 *
 * Source: IEC 61672-1, annex E: pole frequencies 20.598997, 107.65265, 737.86223 and 12194.217 Hz, A1000 = -2.000 dB.
 */
export const aWeighting = (frequencyHz: number): number => {
  const f2 = frequencyHz ** 2
  const [a, b, c, d] = [20.598997 ** 2, 107.65265 ** 2, 737.86223 ** 2, 12194.217 ** 2]
  const shape = (x: number) => (d * x * x) / ((x + a) * Math.sqrt((x + b) * (x + c)) * (x + d))
  return shape(f2) / shape(1e6)
}

/**
 * Root mean square of a noise density between the ends of its grid, V, each step taken as a power law: exact for white and
 * for sloping noise on a grid that follows the shape.
 *
 * @param density V/√Hz
 * @param weighting factor on amplitudes over frequency (none)
 */
export const noiseLevelV = (
  frequencyHz: ArrayLike<number>,
  density: ArrayLike<number>,
  weighting: (frequencyHz: number) => number = () => 1,
): number => {
  let sum = 0
  const power = (i: number) => (density[i] * weighting(frequencyHz[i])) ** 2
  for (let i = 1; i < frequencyHz.length; i++) {
    const [f0, f1] = [frequencyHz[i - 1], frequencyHz[i]]
    const [p0, p1] = [power(i - 1), power(i)]
    if (p0 <= 0 || p1 <= 0) {
      sum += ((p0 + p1) / 2) * (f1 - f0)
      continue
    }
    const slope = Math.log(p1 / p0) / Math.log(f1 / f0)
    sum += Math.abs(slope + 1) < 1e-9 ? p0 * f0 * Math.log(f1 / f0) : (p1 * f1 - p0 * f0) / (slope + 1)
  }
  return Math.sqrt(sum)
}
