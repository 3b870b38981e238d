import type { Suspect } from './suspect.ts'

/** What of a board belongs to a suspect, for drawing it. */
export interface SuspectMarks {
  /** Parts of the most probable explanation; none where pads are meant and not parts. */
  lit: string[]
  /** Parts that the measurements cannot tell from it, or whose pads are meant. */
  also: string[]
  /** Nodes that a bridge joins, or that a pin of the rig misses: their pads are meant. */
  nodes: string[]
}

/** An explanation less probable than this share of the leading one is no longer named beside it. */
const leastShare = 0.05

/**
 * The parts of a suspect that are still in question, those of the most probable explanation first. A part that was measured
 * by itself and found sound stays in the group that the curves cannot tell apart, but hardly any probability is left to it.
 */
export function partsInQuestion({ suspicions, designators }: Pick<Suspect, 'suspicions' | 'designators'>): string[] {
  const [first] = suspicions
  const chance = (name: string): number =>
    Math.max(...suspicions.filter((one) => one.designators.includes(name)).map(({ probability }) => probability))
  return designators.filter(
    (name) => first.designators.includes(name) || chance(name) >= leastShare * first.probability,
  )
}

/** Says what is to be marked on a drawing of the board. */
export function suspectMarks(suspect: Pick<Suspect, 'suspicions' | 'designators'>): SuspectMarks {
  const [{ kind, designators: first, nodes }] = suspect.suspicions
  // Solder between two pads is no fault of the parts they belong to.
  const padsMeant = kind === 'bridge' || kind === 'rig-pin'
  const lit = padsMeant ? [] : [...first]
  return {
    lit,
    also: partsInQuestion(suspect).filter((name) => !lit.includes(name)),
    nodes: padsMeant ? [...nodes] : [],
  }
}
