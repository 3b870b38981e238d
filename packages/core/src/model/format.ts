// How quantities are written wherever a person reads them: one place, so that bench, desk and papers agree. A space stands
// between number and unit, and a minus is a minus sign, not a hyphen (SI brochure, 9th edition, 5.4.3 and its typography).

const MINUS = '\u2212'

const withMinus = (text: string): string => text.replace(/^-/, MINUS)

/** Rounds to significant digits without exponent and without trailing zeros. */
function significant(value: number, digits: number): string {
  if (!Number.isFinite(value)) return '?'
  return withMinus(String(Number(value.toPrecision(digits))))
}

/** Decimals fixed, and never a minus before a zero. */
function decimals(value: number, digits: number): string {
  if (!Number.isFinite(value)) return '?'
  const text = value.toFixed(digits)
  return withMinus(Number(text) === 0 ? text.replace('-', '') : text)
}

/** A frequency or sampling rate: 98.4 Hz, 1.25 kHz. `digits` are significant digits, 3 unless told. */
export function formatHz(frequencyHz: number, { digits = 3 }: { digits?: number } = {}): string {
  const rounded = Number(frequencyHz.toPrecision(digits))
  return Math.abs(rounded) >= 1000
    ? `${significant(frequencyHz / 1000, digits)} kHz`
    : `${significant(frequencyHz, digits)} Hz`
}

/** A sampling rate, to the last digit that rates have: 44.1 kHz, 176.4 kHz. */
export const formatRate = (rateHz: number): string => formatHz(rateHz, { digits: 6 })

/** A level or gain in decibels. `signed` writes the plus of a positive value, as one wants for a deviation. */
export function formatDb(
  levelDb: number,
  { digits = 1, signed = false, unit = 'dB' }: { digits?: number; signed?: boolean; unit?: 'dB' | 'dBFS' } = {},
): string {
  const text = decimals(levelDb, digits)
  const positive = levelDb > 0 && Number(levelDb.toFixed(digits)) > 0
  return `${signed && positive ? '+' : ''}${text} ${unit}`
}

/** A level relative to digital full scale, such as −91.3 dBFS. */
export const formatDbfs = (levelDbfs: number): string => formatDb(levelDbfs, { unit: 'dBFS' })

/** A share in per cent, two significant digits: 0.012 %, 1.4 %. Smaller than any distortion that matters: < 0.0001 %. */
export const formatPercent = (percent: number): string =>
  percent > 0 && percent < 0.0001 ? '< 0.0001 %' : `${significant(percent, 2)} %`

/**
 * A probability in per cent, never as a certainty: 71 %, < 1 %, > 99 %. Nobody shall be told that a suspect is sure because
 * of rounding.
 */
export function formatProbability(probability: number): string {
  if (!Number.isFinite(probability)) return '? %'
  if (probability < 0.01) return '< 1 %'
  return probability > 0.99 ? '> 99 %' : `${Math.round(100 * probability)} %`
}

/** A direct voltage: 4.35 V, 12 mV. */
export const formatVoltage = (voltageV: number): string =>
  Math.abs(voltageV) < 0.1 && voltageV !== 0 ? `${significant(voltageV * 1000, 3)} mV` : `${significant(voltageV, 3)} V`

/** A current: 1.25 A, 0.52 mA is written 520 µA. */
export function formatCurrent(currentA: number): string {
  const size = Math.abs(currentA)
  if (size === 0 || size >= 1) return `${significant(currentA, 3)} A`
  return size < 0.001 ? `${significant(currentA * 1e6, 3)} µA` : `${significant(currentA * 1000, 3)} mA`
}

/** A time span: 4 s, 12.5 ms, 340 µs. */
export function formatDuration(durationS: number): string {
  const size = Math.abs(durationS)
  if (size === 0) return '0 s'
  if (size < 0.001) return `${significant(durationS * 1e6, 3)} µs`
  if (size < 1) return `${significant(durationS * 1000, 3)} ms`
  return `${significant(durationS, 3)} s`
}

/**
 * A moment as the clock on the wall shows it: 25 Nov 2026, 10:44. `at` is UTC (ISO 8601); the time zone is the reader's
 * unless told.
 */
export function formatWhen(at: string, { timeZone }: { timeZone?: string } = {}): string {
  const moment = new Date(at)
  if (Number.isNaN(moment.getTime())) return '?'
  // A fixed locale: the same words on bench, desk and paper, and a month in letters that nobody can take for a day.
  return new Intl.DateTimeFormat('en-GB', {
    day: 'numeric',
    month: 'short',
    year: 'numeric',
    hour: '2-digit',
    minute: '2-digit',
    timeZone,
  }).format(moment)
}

/**
 * How long ago: just now, 5 min ago, 3 h ago, 4 days ago; from 30 days on, the date and time. A clock that is behind
 * counts as now.
 */
export function formatAgo(at: string, { now, timeZone }: { now: Date; timeZone?: string }): string {
  const passedS = (now.getTime() - new Date(at).getTime()) / 1000
  if (Number.isNaN(passedS)) return '?'
  if (passedS < 60) return 'just now'
  if (passedS < 3600) return `${Math.floor(passedS / 60)} min ago`
  if (passedS < 86_400) return `${Math.floor(passedS / 3600)} h ago`
  const days = Math.floor(passedS / 86_400)
  if (days < 30) return days === 1 ? '1 day ago' : `${days} days ago`
  return formatWhen(at, { timeZone })
}
