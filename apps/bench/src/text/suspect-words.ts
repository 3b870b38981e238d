import type { NextCheck, Suspect, SuspicionKind } from '@boardwright/core'

/** What is wrong in a word or two, for lists where the whole sentence does not fit. */
const kindWords: Readonly<Record<SuspicionKind, string>> = {
  healthy: 'nothing seen',
  open: 'open',
  short: 'short',
  'wrong-part': 'wrong',
  'wrong-value': 'off value',
  'decade-slip': 'decade off',
  swapped: 'swapped',
  reversed: 'reversed',
  leaky: 'leaks',
  'dried-out': 'dried out',
  'cold-joint': 'bad joint',
  'amplifier-dead': 'dead',
  'amplifier-stuck': 'stuck',
  'amplifier-slow': 'slow',
  bridge: 'solder',
  'rig-pin': 'pin',
}

/** A suspect in the room of a list: "C7 3.3 nF", "C5 open", "R3+R4 swapped"; an ellipsis where others cannot be told apart. */
export function suspectName({ suspicions, rig }: Pick<Suspect, 'suspicions' | 'rig'>): string {
  const [{ kind, designators, found }, ...others] = suspicions
  if (kind === 'healthy') return 'no fault seen'
  if (rig) return 'a pin of the rig'
  const value = kind === 'wrong-part' || kind === 'wrong-value' || kind === 'decade-slip'
  const what = value && found ? found.replace('about ', '~') : kindWords[kind]
  const more = others.some((one) => one.designators.some((name) => !designators.includes(name)))
  return `${designators.join('+')} ${what}${more ? ' …' : ''}`
}

/** Parts of the most probable explanation, and parts of those that cannot be told from it. */
export function suspectParts({ suspicions, designators }: Pick<Suspect, 'suspicions' | 'designators'>) {
  const lit = suspicions[0].designators
  return { lit, also: designators.filter((name) => !lit.includes(name)), nodes: suspicions[0].nodes }
}

/** What the leading suspects would make a check show. */
export const outcomeWords = ({ outcomes }: Pick<NextCheck, 'outcomes'>): string =>
  outcomes.map(({ words }) => words).join('; ')
