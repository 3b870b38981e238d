import type { SuspicionKind } from '../model/suspect.ts'

/**
 * How often each kind of fault is met when a hand-built board fails, as relative weights; a kind's weight is shared among its
 * hypotheses. Reasons are common practice at the bench, no source: a workshop's own rework records are the better figure, and
 * `weights` of `diagnose` takes them.
 */
export const kindWeights: Readonly<Record<SuspicionKind, { weight: number; reason: string }>> = {
  healthy: { weight: 4, reason: 'a board may fail by a narrow band, or by something its response does not show' },
  'wrong-part': { weight: 18, reason: 'the commonest slip of hand work: the neighbouring bag of the same kit' },
  'cold-joint': { weight: 12, reason: 'the commonest fault of soldering' },
  open: { weight: 10, reason: 'a leg not soldered, a broken lead, a part left out' },
  bridge: { weight: 10, reason: 'solder between neighbouring pads' },
  'rig-pin': { weight: 10, reason: 'pogo pins wear and meet flux: always to be thought of before the board' },
  swapped: { weight: 6, reason: 'two neighbours put into each other\u2019s places' },
  'decade-slip': { weight: 5, reason: 'a colour ring or a figure of the code misread' },
  reversed: { weight: 7, reason: 'polarity of an electrolytic, direction of a diode, a potentiometer wired backwards' },
  'wrong-value': { weight: 4, reason: 'a part from another drawer, or one that has drifted' },
  'amplifier-dead': { weight: 4, reason: 'fitted turned round, or hurt by static' },
  'amplifier-stuck': { weight: 3, reason: 'an output stage hurt by a short' },
  'amplifier-slow': { weight: 1, reason: 'another type fitted' },
  leaky: { weight: 2, reason: 'an old electrolytic, flux residue across a part' },
  short: { weight: 2, reason: 'rare in new parts; mostly a bridge under the part' },
  'dried-out': { weight: 1, reason: 'old stock' },
}

/** Prior probability that the fault is none of the dictionary: two faults at once, or a new kind. */
export const noneWeight = 4
