/** Pole frequencies of the A-weighting, Hz. Source: IEC 61672-1:2013, annex E (checked against its table 3). */
const f1 = 20.598997
const f2 = 107.65265
const f3 = 737.86223
const f4 = 12194.217

const unscaled = (frequencyHz: number): number => {
  const s = frequencyHz * frequencyHz
  return (f4 ** 2 * s * s) / ((s + f1 ** 2) * Math.sqrt((s + f2 ** 2) * (s + f3 ** 2)) * (s + f4 ** 2))
}

const at1kHz = unscaled(1000)

/** Gain (a ratio, 1 at 1 kHz) of the A-weighting. Source: IEC 61672-1. */
export const aWeighting = (frequencyHz: number): number => unscaled(frequencyHz) / at1kHz
