const settingWords: Record<string, string> = {
  max: 'maximum',
  min: 'minimum',
  centre: 'centre',
}

/** A setting in a sentence: "At maximum", or `At setting "bass-only"` for a name that is not a plain word. */
export const atSetting = (setting: string): string =>
  settingWords[setting] ? `At ${settingWords[setting]}` : `At setting "${setting}"`

/** A frequency as a maker says it: "63 Hz", "440 Hz", "2.1 kHz", "20 kHz": two figures, three below 1 kHz. */
export function frequencyWords(frequencyHz: number): string {
  if (frequencyHz < 99.5) return `${Number(frequencyHz.toPrecision(2))} Hz`
  if (frequencyHz < 999.5) return `${Number(frequencyHz.toPrecision(3))} Hz`
  return `${Number((frequencyHz / 1000).toPrecision(2))} kHz`
}

/** A stretch of frequencies: "from 2.1 kHz to 20 kHz", or "at 63 Hz" for a single point. */
export function rangeWords(fromHz: number, toHz: number): string {
  const from = frequencyWords(fromHz)
  const to = frequencyWords(toHz)
  return from === to ? `at ${from}` : `from ${from} to ${to}`
}

/** Upper end of the bass and lower end of the treble in a sentence, Hz. Common practice, no source. */
const bassEndsHz = 300
const trebleBeginsHz = 2000

/** What a stretch is called by ear: "the bass", "the middle", "the treble", "the level" when it spans all three. */
export function regionWords(fromHz: number, toHz: number): string {
  if (fromHz < bassEndsHz && toHz > trebleBeginsHz) return 'the level'
  const centreHz = Math.sqrt(fromHz * toHz)
  if (centreHz < bassEndsHz) return 'the bass'
  return centreHz > trebleBeginsHz ? 'the treble' : 'the middle'
}

/** A level with sign where it is a limit or a deviation: "+1.5 dB", "-0.25 dB". */
export const signedDb = (db: number, decimals = 1): string =>
  `${db > 0 ? '+' : ''}${db.toFixed(decimals).replace(/^-(0(?:\.0+)?)$/, '$1')} dB`

/** Decimals that tell a value from its limit: one, or two when one would print the same number. */
export const decimalsToTell = (valueDb: number, limitDb: number): number =>
  Math.abs(valueDb).toFixed(1) === Math.abs(limitDb).toFixed(1) ? 2 : 1

/** A share in percent with two figures: "0.35 %", "1.2 %". */
export const percentWords = (percent: number): string => `${Number(percent.toPrecision(2))} %`
