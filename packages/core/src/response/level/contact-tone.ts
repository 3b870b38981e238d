import { BoardwrightError } from '../../model/error.ts'

/** The stimulus of the contact check. */
export interface ContactTone {
  samples: Float64Array
  rateHz: number
  frequencyHz: readonly number[]
  /** Peak amplitude of each tone, full scale = 1. */
  amplitude: number
}

/** Three tones, each 20 Hz from the nearest multiple of 50 and of 60 Hz, where hum stands. */
export const contactFrequenciesHz: readonly number[] = [220, 980, 5020]
/** Length, and of the fade at each end, s. */
const durationS = 0.34
const fadeS = 0.02

/**
 * Makes the short quiet sound of the contact check: three tones at once, a third of a second.
 *
 * @param options.levelDbfs highest peak of all together; quiet, since whatever is connected wrongly hears it too
 * Errors: bad-argument.
 */
export const makeContactTone = (options: { rateHz: number; levelDbfs?: number }): ContactTone => {
  const { rateHz, levelDbfs = -40 } = options
  if (!(rateHz >= 44_100 && levelDbfs <= 0))
    throw new BoardwrightError('bad-argument', `No contact tone has ${rateHz} Hz and ${levelDbfs} dBFS.`)
  const amplitude = 10 ** (levelDbfs / 20) / contactFrequenciesHz.length
  const length = Math.round(durationS * rateHz)
  const fade = Math.round(fadeS * rateHz)
  const samples = Float64Array.from({ length }, (_, i) => {
    const edge = Math.min(1, Math.min(i, length - 1 - i) / fade)
    const rise = 0.5 - 0.5 * Math.cos(Math.PI * edge)
    return contactFrequenciesHz.reduce((sum, f) => sum + rise * amplitude * Math.sin((2 * Math.PI * f * i) / rateHz), 0)
  })
  return { samples, rateHz, frequencyHz: contactFrequenciesHz, amplitude }
}
