import { gridFrequenciesHz } from '../curve/grid.ts'
import { fftSizeFrom, makeBins, realFft } from '../transform/fft.ts'
import type { SampleSpan } from './sweep-signal.ts'

/** A band counts as filled while its mean power is at least this part of the strongest band's. */
const leastPart = 1e-3
const halfStep = 10 ** (1 / 160)

/** The band in which a sound of any kind has energy, in steps of the measuring grid, Hz. */
export const spectralBand = (options: {
  samples: Float64Array
  span: SampleSpan
  rateHz: number
}): { fromHz: number; toHz: number } => {
  const { samples, span, rateHz } = options
  const size = fftSizeFrom(span.endSample - span.startSample)
  const bins = makeBins(size)
  realFft(size).forward(samples.subarray(span.startSample, span.endSample), bins)
  const powers = gridFrequenciesHz.map((f) => {
    const from = Math.round((f / halfStep / rateHz) * size)
    const to = Math.round(((f * halfStep) / rateHz) * size)
    if (f > 0.48 * rateHz) return 0
    let sum = 0
    for (let k = from; k <= to; k++) sum += bins[2 * k] ** 2 + bins[2 * k + 1] ** 2
    return sum / (to - from + 1)
  })
  const least = leastPart * Math.max(...powers)
  return {
    fromHz: gridFrequenciesHz[powers.findIndex((power) => power >= least)],
    toHz: gridFrequenciesHz[powers.findLastIndex((power) => power >= least)],
  }
}
