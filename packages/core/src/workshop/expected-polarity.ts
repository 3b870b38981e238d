import type { Reference } from '../model/reference.ts'
import type { SettingMeasurement } from '../model/test-run.ts'

/**
 * Takes the note `polarity-turned` away where the reference board turns the polarity too: then the product is meant to
 * invert, and a note on every good board would teach the maker to read over notes.
 */
export function withoutExpectedPolarity(
  measurements: readonly SettingMeasurement[],
  reference: Pick<Reference, 'settings'>,
): SettingMeasurement[] {
  return measurements.map((measurement) => {
    const expected = reference.settings.find((setting) => setting.setting === measurement.setting)?.polarity
    if (expected !== measurement.polarity) return measurement
    return { ...measurement, findings: measurement.findings.filter((finding) => finding.code !== 'polarity-turned') }
  })
}
