/** Exponents n of the measuring grid 1000 * 10^(n/80) Hz: 1/24 octave (base ten) from 20 Hz to 20 kHz nominal. */
const firstExponent = -136
const lastExponent = 104
const pointsPerDecade = 80

/**
 * The measuring grid: 241 frequencies (Hz), 19.95 Hz to 19.95 kHz, rising, 1 kHz among them.
 * Source: IEC 61260-1:2014, base-ten octave ratio G = 10^(3/10); every eighth point is a third-octave mid-band frequency.
 */
export const gridFrequenciesHz: readonly number[] = Array.from(
  { length: lastExponent - firstExponent + 1 },
  (_, i) => 1000 * 10 ** ((firstExponent + i) / pointsPerDecade),
)

/** Index of 1 kHz in the grid. */
export const gridIndexOf1kHz = -firstExponent
