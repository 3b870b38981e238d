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

/** Says what is to be marked on a drawing of the board. */
export function suspectMarks({ suspicions, designators }: Pick<Suspect, 'suspicions' | 'designators'>): SuspectMarks {
  const [{ kind, designators: first, nodes }] = suspicions
  // Solder between two pads is no fault of the parts they belong to.
  const padsMeant = kind === 'bridge' || kind === 'rig-pin'
  const lit = padsMeant ? [] : [...first]
  return { lit, also: designators.filter((name) => !lit.includes(name)), nodes: padsMeant ? [...nodes] : [] }
}
