import { BoardwrightError } from '../../model/error.ts'

/** Said before the first sound of a session. */
export const playbackCaution =
  'Take headphones off and turn loudspeakers down: the rig is about to play a test signal. Follow the safety rules of your workshop.'

/**
 * Refuses samples that are louder than the rig may ever play, and samples that are not numbers.
 * @param options.samples full scale = 1
 * Errors: level-too-high, bad-argument.
 */
export function limitLevel(options: { samples: Float64Array; maxLevelDbfs: number }): void {
  let peak = 0
  for (const value of options.samples) {
    if (!Number.isFinite(value))
      throw new BoardwrightError('bad-argument', 'The sweep holds samples that are not numbers.')
    peak = Math.max(peak, Math.abs(value))
  }
  const levelDbfs = 20 * Math.log10(peak)
  // A sweep made for exactly the limit must not fail by its rounding.
  if (levelDbfs > options.maxLevelDbfs + 1e-6)
    throw new BoardwrightError(
      'level-too-high',
      `The sweep reaches ${levelDbfs.toFixed(1)} dBFS; the rig may play ${options.maxLevelDbfs} dBFS at most.`,
    )
}

const fadeS = 0.005
/** A first or last sample under this part of the peak clicks less than the sweep sounds. */
const startsQuietly = 1e-3

/**
 * Fades in and out over 5 ms where a sound begins or ends abruptly, which would click; a stimulus that fades by itself comes
 * back as it is.
 */
export function fadeEnds(samples: Float64Array, rateHz: number): Float64Array {
  let peak = 0
  for (const value of samples) peak = Math.max(peak, Math.abs(value))
  const last = samples.length - 1
  const isAbrupt = (value: number | undefined) => value !== undefined && Math.abs(value) > startsQuietly * peak
  const [fadeIn, fadeOut] = [isAbrupt(samples[0]), isAbrupt(samples[last])]
  if (!fadeIn && !fadeOut) return samples
  const faded = samples.slice()
  const length = Math.min(Math.round(fadeS * rateHz), samples.length >> 1)
  for (let i = 0; i < length; i++) {
    const rise = 0.5 - 0.5 * Math.cos((Math.PI * i) / length)
    if (fadeIn) faded[i] *= rise
    if (fadeOut) faded[last - i] *= rise
  }
  return faded
}
