import { formatHz } from '../../model/format.ts'

const settingWords: Record<string, string> = {
  max: 'maximum',
  min: 'minimum',
  centre: 'centre',
}

/** A setting in a sentence: "At maximum", or `At setting "bass-only"` for a name that is not a plain word. */
export const atSetting = (setting: string): string =>
  settingWords[setting] ? `At ${settingWords[setting]}` : `At setting "${setting}"`

/** An end of a stretch, to the two figures that a knob or an ear can tell. */
const formatEdge = (frequencyHz: number): string => formatHz(frequencyHz, { digits: 2 })

/** A stretch of frequencies: "from 2.1 kHz to 20 kHz", or "at 63 Hz" for a single point. */
export function rangeWords(fromHz: number, toHz: number): string {
  const from = formatEdge(fromHz)
  const to = formatEdge(toHz)
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

/** Decimals that tell a value from its limit: one, or two when one would print the same number. */
export const decimalsToTell = (valueDb: number, limitDb: number): number =>
  Math.abs(valueDb).toFixed(1) === Math.abs(limitDb).toFixed(1) ? 2 : 1
