import { z } from 'zod'
import type { Circuit } from './circuit.ts'
import { PartNumber } from './part.ts'

/** A place in the product and the part that goes there. */
export const PartsListEntry = z.object({
  designator: z
    .string()
    .trim()
    .toUpperCase()
    .regex(/^[A-Z][A-Z0-9-]{0,15}$/, 'a designator is a letter, then letters, digits or hyphens, such as C7'),
  part: PartNumber,
  /** Parts that may stand in, best first. */
  alternatives: z.array(PartNumber).max(8).default([]),
  pieces: z.number().int().min(1).max(1000).default(1),
  /** Not in the circuit: the bare board, a connector, heat-shrink tubing. */
  extra: z.boolean().default(false),
})
export type PartsListEntry = z.infer<typeof PartsListEntry>

type Parted = { circuit: Circuit; board?: { placements: readonly { designator: string }[] } }

/** Every place that a board of this circuit takes a part in; the sections U1A and U1B are the one package U1. */
export function placesOf({ circuit }: Parted): string[] {
  const names = circuit.elements
    .filter((element) => !('place' in element) || element.place === 'board')
    .map(({ kind, designator }) => (kind === 'op-amp' ? designator.replace(/(?<=[0-9])[A-Z]$/, '') : designator))
  return [...new Set(names)]
}

type Issue = (path: (string | number)[], message: string) => void

/** Checks a parts list against its circuit: each place once, and no place that is not there. */
export function checkPartsList(product: Parted & { partsList: readonly PartsListEntry[] }, issue: Issue): void {
  const places = new Set(placesOf(product))
  const seen = new Set<string>()
  for (const [i, { designator, part, alternatives, extra }] of product.partsList.entries()) {
    const path = ['partsList', i]
    if (seen.has(designator)) issue([...path, 'designator'], `${designator} is listed twice`)
    seen.add(designator)
    if (!extra && !places.has(designator))
      issue([...path, 'designator'], `the board has no place "${designator}"; mark what is not in the circuit as extra`)
    if (extra && places.has(designator)) issue([...path, 'extra'], `${designator} is in the circuit, so it is no extra`)
    if (alternatives.includes(part)) issue([...path, 'alternatives'], `${part} cannot stand in for itself`)
  }
}

/** Places of the board that the parts list says nothing about. */
export function unlistedPlaces(product: Parted & { partsList?: readonly PartsListEntry[] }): string[] {
  const listed = new Set(product.partsList?.map(({ designator }) => designator))
  return placesOf(product).filter((place) => !listed.has(place))
}
