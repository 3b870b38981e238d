import { type NextCheck, partsInQuestion, type Suspect, type SuspicionKind } from '@boardwright/core'

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

/** Up to so many parts are named; of a larger group the first and how many more. */
const mostNamed = 3

/**
 * A suspect in the room of a list: "C7 3.3 nF", "C5 open", "R3+R4 swapped"; a group that cannot be told apart is named as
 * one: "P2 or C9", "R5 or 4 more".
 */
export function suspectName(suspect: Pick<Suspect, 'suspicions' | 'designators' | 'rig'>): string {
  const [{ kind, designators, found }] = suspect.suspicions
  if (kind === 'healthy') return 'no fault seen'
  if (suspect.rig) return 'a pin of the rig'
  if (kind === 'bridge') return `solder at ${designators.join(', ')}`
  const others = partsInQuestion(suspect).filter((name) => !designators.includes(name))
  const first = designators.join('+')
  if (others.length > 0)
    return others.length < mostNamed ? [first, ...others].join(' or ') : `${first} or ${others.length} more`
  const value = kind === 'wrong-part' || kind === 'wrong-value' || kind === 'decade-slip'
  return `${first} ${value && found ? found.replace('about ', '~') : kindWords[kind]}`
}

/** What the leading suspects would make a check show. */
export const outcomeWords = ({ outcomes }: Pick<NextCheck, 'outcomes'>): string =>
  outcomes.map(({ words }) => words).join('; ')
