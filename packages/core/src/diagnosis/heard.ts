import type { SettingMeasurement } from '../model/test-run.ts'

/** Codes of findings that mean: nothing came out of the board. */
const silenceCodes = new Set(['silent', 'sweep-not-found'])

/** True when a recording was refused because nothing came back. */
export const isSilent = ({ usable, findings }: SettingMeasurement): boolean =>
  !usable && findings.some((f) => silenceCodes.has(f.code))

/** True when a recording was refused because the board was louder than the interface can take. */
export const isTooLoud = ({ usable, findings }: SettingMeasurement): boolean =>
  !usable && findings.some((f) => f.severity === 'refuse' && f.code === 'clipped')

/**
 * True when a recording has a curve that a diagnosis can go by: one of a board so quiet that the judge refuses it for noise
 * counts too, since each point says how certain it is.
 */
export const hasCurve = ({ curve, usable, findings }: SettingMeasurement): boolean =>
  curve !== null && (usable || findings.every((f) => f.severity !== 'refuse' || f.code === 'too-noisy'))
