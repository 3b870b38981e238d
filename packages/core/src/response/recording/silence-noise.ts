import { silentSpans } from '../curve/noise.ts'
import type { RecordingView } from './recording-view.ts'

/** The noise is that of the quieter quarter of the silences' parts of this length, s: clicks and voices are no noise. */
const partS = 0.02
const quietShare = 0.25
/** Noise this many steps high or more is believed to be noise; below it the rounding makes what it likes of it. */
const leastSteps = 0.6

/** Variance of a third difference of white noise over the noise's own. Source: 1 + 9 + 9 + 1. */
const thirdDifference = 20

/**
 * The noise of the recorder as it moves from sample to sample, in the silences: root mean square of the third
 * differences, brought to that of white noise, full scale = 1. Offset, hum and rumble do not count, and are not meant to:
 * what this is used for is how unlikely equal samples are.
 */
export function silenceNoise({ sweep, samples, alignment }: Pick<RecordingView, 'sweep' | 'samples' | 'alignment'>) {
  if (!alignment) return 0
  const length = Math.round(partS * sweep.rateHz)
  const powers: number[] = []
  for (const span of silentSpans(sweep, alignment.offsetSamples, samples.length))
    for (let from = span.startSample; from + length <= span.endSample; from += length) {
      let sum = 0
      for (let i = from + 3; i < from + length; i++)
        sum += (samples[i] - samples[i - 3] - 3 * (samples[i - 1] - samples[i - 2])) ** 2
      powers.push(sum / (length - 3))
    }
  powers.sort((a, b) => a - b)
  return Math.sqrt((powers[Math.floor(quietShare * powers.length)] ?? 0) / thirdDifference)
}

/**
 * Minus the logarithm of the probability that a sample with this noise equals another one by chance; 0 where the noise is
 * too low to tell. Two normal numbers of deviation s round to the same step with probability 1 / (2 sqrt(pi) s).
 * Source: the density of their difference at zero.
 */
export function evidencePerSample(noiseRms: number, step: number): number {
  const steps = noiseRms / step
  return steps < leastSteps ? 0 : Math.log(2 * Math.sqrt(Math.PI) * steps)
}
