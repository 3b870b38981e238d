import { BoardwrightError } from '../model/error.ts'
import type { Product } from '../model/product.ts'
import type { WaveAudio } from '../response/wave/wave-format.ts'
import type { SettingRecording } from './workshop.ts'

/** Every setting of the test plan must be there. Errors: setting-missing. */
export function needEverySetting(product: Product, recordings: readonly SettingRecording[]): void {
  const given = new Set(recordings.map((recording) => recording.setting))
  const missing = product.testPlan.settings.filter((setting) => !given.has(setting))
  if (missing.length > 0) throw new BoardwrightError('setting-missing', `There is no recording at ${listed(missing)}.`)
}

/** No recording at a setting that the product does not have. Errors: setting-unknown. */
export function refuseUnknownSettings(product: Product, recordings: readonly SettingRecording[]): void {
  const known = product.settings.map((setting) => setting.name)
  const unknown = recordings.find((recording) => !known.includes(recording.setting))
  if (unknown)
    throw new BoardwrightError(
      'setting-unknown',
      `${product.name} has no setting "${unknown.setting}"; it has ${listed(known)}.`,
    )
}

/** A test run has one recording a setting. Errors: bad-argument. */
export function refuseRepeatedSettings(recordings: readonly SettingRecording[]): void {
  const seen = new Set<string>()
  for (const { setting } of recordings) {
    if (seen.has(setting))
      throw new BoardwrightError('bad-argument', `There are two recordings for setting "${setting}".`)
    seen.add(setting)
  }
}

/**
 * No recording is given twice: noise makes every take its own, so equal samples are one file named two times. A board
 * would fail for it, and a reference would seem to repeat without any spread. Silent ones are left to the recording checks.
 * Errors: recording-twice.
 */
export function refuseSameRecording(recordings: readonly SettingRecording[]): void {
  recordings.forEach((one, i) => {
    const same = recordings.slice(i + 1).find((other) => isSameSound(one.audio, other.audio))
    if (same)
      throw new BoardwrightError(
        'recording-twice',
        `The recordings ${one.origin} ("${one.setting}") and ${same.origin} ("${same.setting}") are one and the same.`,
      )
  })
}

function isSameSound(one: WaveAudio, other: WaveAudio): boolean {
  if (one.channels.length !== other.channels.length) return false
  let silent = true
  for (const [c, samples] of one.channels.entries()) {
    const others = other.channels[c]
    if (samples.length !== others.length) return false
    for (let i = 0; i < samples.length; i++) {
      if (samples[i] !== others[i]) return false
      silent &&= samples[i] === 0
    }
  }
  return !silent
}

const listed = (names: readonly string[]): string => names.map((name) => `"${name}"`).join(', ')
