import { BoardwrightError } from '../../model/error.ts'

/** How a voltmeter or an oscilloscope tells the voltage of a sine. */
export type SineReading = 'rms' | 'peak' | 'peak-to-peak'
/** Units in which the data of sound interfaces tell their largest level. */
export type LevelUnit = 'dBu' | 'dBV' | 'Vrms'

/** 0 dBu is 1 mW in 600 ohm: the root of 0.6 V². Source: IEC 60268-2, as in CHECKS 03-O20. */
const voltAtZeroDbu = Math.sqrt(0.6)

const need = (value: number, what: string): void => {
  if (!(Number.isFinite(value) && value > 0))
    throw new BoardwrightError('bad-argument', `${what} must be a voltage above zero, not ${value}.`)
}

/** Peak of a sine from a reading, V. A meter that averages and is marked in r.m.s. is right for a sine. */
const peakOfSine: Record<SineReading, (readingV: number) => number> = {
  rms: (v) => v * Math.SQRT2,
  peak: (v) => v,
  'peak-to-peak': (v) => v / 2,
}

/**
 * Full scale of an output or an input from one sine tone. Output: the tone is played at `levelDbfs` and the voltmeter reads
 * the plug. Input: the voltmeter reads what is fed in, and `levelDbfs` is what was recorded (see `toneLevels`). A tone of
 * 100 to 400 Hz suits every voltmeter.
 *
 * @param options.levelDbfs level of the tone; a sine whose peak is at full scale is 0 dBFS (AES17)
 * @returns peak voltage at full scale, V
 * @throws BoardwrightError `bad-argument` for a reading that is no voltage or a level above full scale
 */
export const fullScaleFromReading = (options: {
  readingV: number
  reading: SineReading
  levelDbfs: number
}): { fullScaleV: number } => {
  const { readingV, reading, levelDbfs } = options
  need(readingV, 'The reading')
  if (!(Number.isFinite(levelDbfs) && levelDbfs <= 0))
    throw new BoardwrightError('bad-argument', `The level of the tone must be 0 dBFS or less, not ${levelDbfs} dBFS.`)
  return { fullScaleV: peakOfSine[reading](readingV) / 10 ** (levelDbfs / 20) }
}

/**
 * Full scale from the data of an interface, which tell the r.m.s. level of a full-scale sine.
 * @returns peak voltage at full scale, V
 */
export const fullScaleFromData = (options: { level: number; unit: LevelUnit }): { fullScaleV: number } => {
  const { level, unit } = options
  if (unit === 'Vrms') need(level, 'The level')
  const rmsV = unit === 'Vrms' ? level : 10 ** (level / 20) * (unit === 'dBu' ? voltAtZeroDbu : 1)
  return { fullScaleV: rmsV * Math.SQRT2 }
}

/** Level of a sine in dBFS as a peak voltage, V. */
export const peakVoltage = (options: { levelDbfs: number; fullScaleV: number }): number =>
  options.fullScaleV * 10 ** (options.levelDbfs / 20)

/** Level in dBFS of a sine with this peak voltage. Errors: bad-argument. */
export const levelOfVoltage = (options: { peakV: number; fullScaleV: number }): number => {
  need(options.peakV, 'The peak')
  need(options.fullScaleV, 'Full scale')
  return 20 * Math.log10(options.peakV / options.fullScaleV)
}

/** A sine's r.m.s. voltage in dBu and dBV. Source: CHECKS 03-O20. */
export const levelUnitsOfPeak = (peakV: number): { rmsV: number; levelDbu: number; levelDbv: number } => {
  need(peakV, 'The peak')
  const rmsV = peakV / Math.SQRT2
  return { rmsV, levelDbu: 20 * Math.log10(rmsV / voltAtZeroDbu), levelDbv: 20 * Math.log10(rmsV) }
}

/**
 * What must be added to a gain that was measured as recorded over played (dB of full scale) to make it volts over volts:
 * output 4 V and input 2 V at full scale make a wire look 6 dB too loud.
 */
export const voltageGainOffsetDb = (calibration: { fullScaleOutV: number; fullScaleInV: number }): number => {
  need(calibration.fullScaleOutV, 'Full scale of the output')
  need(calibration.fullScaleInV, 'Full scale of the input')
  return 20 * Math.log10(calibration.fullScaleInV / calibration.fullScaleOutV)
}
