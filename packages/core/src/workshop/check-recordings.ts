import { BoardwrightError } from '../model/error.ts'
import type { Product } from '../model/product.ts'
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

const listed = (names: readonly string[]): string => names.map((name) => `"${name}"`).join(', ')
