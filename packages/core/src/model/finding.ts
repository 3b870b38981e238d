import { z } from 'zod'

/** Codes of the recording checks: what can be wrong with a recording. */
export const findingCodes = [
  'block-damaged',
  'block-slipped',
  'channel-swapped',
  'clipped',
  'clock-drift',
  'cut-off',
  'dc-offset',
  'loop-back-missing',
  'mains-hum',
  'polarity-turned',
  'silent',
  'sweep-not-found',
  'too-noisy',
  'too-short',
  'wrong-rate',
] as const

/**
 * One finding about a recording. `refuse`: the recording proves nothing, measure again. `note`: worth knowing, the
 * measurement stands.
 */
export const Finding = z.object({
  code: z.enum(findingCodes),
  severity: z.enum(['refuse', 'note']),
  message: z.string(),
  remedy: z.string(),
  /** Where in the recording (s), when the finding has a place. */
  atS: z.number().optional(),
})
export type Finding = z.infer<typeof Finding>

/** True when any finding makes the recording useless. */
export const isRefused = (findings: readonly Finding[]): boolean => findings.some((f) => f.severity === 'refuse')

/** What a sound system that did not keep up does to a recording; nothing about the board. */
const blockCodes: readonly Finding['code'][] = ['block-slipped', 'block-damaged']

/** True when the sound system lost or doubled a block: the sweep is worth playing again. */
export const hasLostBlock = (findings: readonly Finding[]): boolean =>
  findings.some(({ code }) => blockCodes.includes(code))

/** A sweep that lost a block is played again by itself this many times. */
export const repeatsAtMost = 2
