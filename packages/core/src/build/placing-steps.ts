import type { Part } from '../model/part.ts'
import type { PartsListEntry } from '../model/parts-list.ts'
import type { BoardLayout, BodyShape, Placement } from '../model/placement.ts'
import type { PlacingOrder, WorkStep } from '../model/procedure.ts'

type Board = BoardLayout | undefined

interface Group {
  name: string
  has: (placement: Placement) => boolean
}

const withBodies =
  (...bodies: BodyShape[]) =>
  ({ body, side }: Placement) =>
    bodies.includes(body) && side === 'top'

/** The far side first, while the board still lies flat; then from the amplifier outwards; what is in the way last. */
const insideOut: readonly Group[] = [
  { name: 'solder side', has: ({ side }) => side === 'bottom' },
  { name: 'amplifier', has: withBodies('dual-in-line', 'chip') },
  { name: 'capacitors', has: withBodies('film-box', 'disc', 'radial') },
  { name: 'resistors and diodes', has: withBodies('axial', 'diode') },
  { name: 'controls and connectors', has: withBodies('potentiometer', 'connector') },
]

/** By the height of the usual bodies, so that each part is held down by the bench. Common practice, no source. */
const lowestFirst: readonly Group[] = [
  { name: 'solder side', has: ({ side }) => side === 'bottom' },
  { name: 'chips', has: withBodies('chip') },
  { name: 'diodes', has: withBodies('diode') },
  { name: 'resistors', has: withBodies('axial') },
  { name: 'amplifier', has: withBodies('dual-in-line') },
  { name: 'disc capacitors', has: withBodies('disc') },
  { name: 'film capacitors', has: withBodies('film-box') },
  { name: 'electrolytic capacitors', has: withBodies('radial') },
  { name: 'connectors', has: withBodies('connector') },
  { name: 'controls', has: withBodies('potentiometer') },
]

function groupsOf(order: PlacingOrder, placements: readonly Placement[]): readonly Group[] {
  if (order === 'inside-out') return insideOut
  if (order === 'lowest-first') return lowestFirst
  const names = [...new Set(placements.map(({ group }) => group ?? 'other parts'))]
  return names.map((name) => ({ name, has: ({ group = 'other parts' }) => group === name }))
}

/**
 * The steps of placing: one a part and group, in the order wanted; within a group from the board's centre outwards. What is
 * on the parts list but not placed (wires, tubing) comes last; the bare board itself is no step.
 * @param options.parts what is known of the parts, by number; a part that is not known gets no value and no caution
 */
export function placingSteps(options: {
  partsList: readonly PartsListEntry[]
  board: Board
  parts: ReadonlyMap<string, Part>
  order: PlacingOrder
}): WorkStep[] {
  const { partsList, board, parts, order } = options
  const entryOf = new Map(partsList.map((entry) => [entry.designator, entry]))
  const placed = (board?.placements ?? []).filter(({ designator }) => entryOf.has(designator))
  const steps: WorkStep[] = []
  const add = (group: string, designators: readonly string[]) => {
    for (const same of byPart(designators, entryOf)) steps.push(placeStep({ group, designators: same, entryOf, parts }))
  }
  const left = new Set(entryOf.keys())
  for (const { name, has } of groupsOf(order, placed)) {
    const members = fromCentre(board, placed.filter(has)).filter((designator) => left.has(designator))
    for (const designator of members) left.delete(designator)
    add(name, members)
  }
  add(
    'beside the board',
    [...left].filter((designator) => parts.get(entryOf.get(designator)!.part)?.kind !== 'circuit-board'),
  )
  const [first] = steps
  if (first) first.cautions.unshift('Hot iron: use its stand, mind your fingers and what is below it.')
  return steps
}

/** Nearest to the middle of the board first; where two are as near, by name, so that the order is always the same. */
function fromCentre(board: Board, placements: readonly Placement[]): string[] {
  const [x, y] = [(board?.widthMm ?? 0) / 2, (board?.heightMm ?? 0) / 2]
  const distance = ({ xMm, yMm }: Placement) => Math.round(1000 * Math.hypot(xMm - x, yMm - y))
  return [...placements]
    .sort((one, other) => distance(one) - distance(other) || byName(one.designator, other.designator))
    .map(({ designator }) => designator)
}

const byName = (one: string, other: string): number => one.localeCompare(other, 'en', { numeric: true })

/** Places of one part together, in the order in which the first of each comes. */
function byPart(designators: readonly string[], entryOf: ReadonlyMap<string, PartsListEntry>): string[][] {
  const groups = new Map<string, string[]>()
  for (const designator of designators) {
    const { part } = entryOf.get(designator)!
    groups.set(part, [...(groups.get(part) ?? []), designator])
  }
  return [...groups.values()]
}

function placeStep(options: {
  group: string
  designators: readonly string[]
  entryOf: ReadonlyMap<string, PartsListEntry>
  parts: ReadonlyMap<string, Part>
}): WorkStep {
  const { group, designators, entryOf, parts } = options
  const [first] = designators as [string]
  const number = entryOf.get(first)!.part
  const part = parts.get(number)
  const what = part?.value || number
  const cautions: string[] = []
  if (part?.polarised || part?.kind === 'diode' || part?.kind === 'op-amp')
    cautions.push('It fits one way round only: look before you solder.')
  if (part?.staticSensitive) cautions.push('Harmed by static: wear the wrist strap, touch ground first.')
  return {
    key: `place-${first.toLowerCase()}`,
    kind: 'place',
    title: `${designators.join(', ')}: ${what}`.slice(0, 80),
    text: '',
    cautions,
    checklist: [],
    designators: [...designators],
    part: number,
    group,
  }
}
