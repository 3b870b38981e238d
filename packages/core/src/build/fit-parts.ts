import type { FittedPart } from '../model/build.ts'
import type { PartsListEntry } from '../model/parts-list.ts'
import type { KitLine, LotTake } from './kit-list.ts'

/**
 * Which lot goes into which place of which unit: the lots of a line in their order, and one lot for all places of a unit
 * that take the part, as long as one has enough.
 * @param options.lines of a complete kit list for just these units
 */
export function fitParts(options: {
  lines: readonly KitLine[]
  partsList: readonly PartsListEntry[]
  serials: readonly string[]
}): FittedPart[] {
  const { lines, partsList, serials } = options
  const piecesAt = new Map(partsList.map(({ designator, pieces }) => [designator, pieces]))
  const fitted: FittedPart[] = []
  for (const { takes, designators, piecesPerUnit } of lines) {
    const left = takes.map((take) => ({ ...take }))
    for (const serial of serials) {
      const whole = left.find(({ pieces }) => pieces >= piecesPerUnit)
      for (const designator of designators)
        for (const { part, lotId, pieces } of draw(whole ? [whole] : left, piecesAt.get(designator)!))
          fitted.push({ serial, designator, part, lotId, pieces })
    }
  }
  return fitted
}

function draw(left: readonly LotTake[], wanted: number): LotTake[] {
  const drawn: LotTake[] = []
  let missing = wanted
  for (const take of left) {
    const pieces = Math.min(take.pieces, missing)
    if (pieces === 0) continue
    take.pieces -= pieces
    missing -= pieces
    drawn.push({ ...take, pieces })
  }
  return drawn
}
