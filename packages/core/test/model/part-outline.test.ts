import { describe, expect, test } from 'vitest'
import plover from '../../../../shared/products/plover.json' with { type: 'json' }
import { outlineCorners, partOutline } from '../../src/model/part-outline.ts'
import { Placement } from '../../src/model/placement.ts'

const board = plover.board
const placements = board.placements.map((one) => Placement.parse(one))

describe('bodies on the board', () => {
  test('a part with two pads lies along them, whatever its rotation says', () => {
    const pads = [
      { pin: '1', node: 'a', xMm: 10, yMm: 5 },
      { pin: '2', node: 'b', xMm: 10, yMm: 15 },
    ]
    const outline = partOutline(Placement.parse({ designator: 'R1', xMm: 10, yMm: 10, body: 'axial', pads }))
    expect(outline.angleDeg).toBeCloseTo(90, 9)
    // By hand: 6.5 mm long and 2.4 mm wide, upright around (10, 10).
    for (const { xMm, yMm } of outlineCorners(outline)) {
      expect(Math.abs(xMm - 10)).toBeCloseTo(1.2, 9)
      expect(Math.abs(yMm - 10)).toBeCloseTo(3.25, 9)
    }
  })

  test('a body without pads still has a size', () => {
    for (const body of ['axial', 'radial', 'film-box', 'dual-in-line', 'potentiometer', 'connector'] as const) {
      const { lengthMm, widthMm } = partOutline(Placement.parse({ designator: 'X1', xMm: 0, yMm: 0, body }))
      expect(Math.min(lengthMm, widthMm), body).toBeGreaterThan(1)
    }
  })

  test("the Plover's bodies lie on its board, and no two of one side on each other", () => {
    const outlines = placements.map((placement) => ({ placement, outline: partOutline(placement) }))
    for (const { placement, outline } of outlines)
      for (const { xMm, yMm } of outlineCorners(outline)) {
        expect(xMm >= 0 && xMm <= board.widthMm, `${placement.designator} x ${xMm}`).toBe(true)
        expect(yMm >= 0 && yMm <= board.heightMm, `${placement.designator} y ${yMm}`).toBe(true)
      }
    for (const [i, one] of outlines.entries())
      for (const other of outlines.slice(i + 1)) {
        if (one.placement.side !== other.placement.side) continue
        // Bodies are at right angles to the board here, so boxes around them tell; round ones by their distance.
        const [a, b] = [boxOf(one.outline), boxOf(other.outline)]
        const apart = a.right <= b.left || b.right <= a.left || a.top <= b.bottom || b.top <= a.bottom
        expect(apart, `${one.placement.designator} and ${other.placement.designator}`).toBe(true)
      }
  })
})

const boxOf = (outline: ReturnType<typeof partOutline>) => {
  const corners = outlineCorners(outline)
  const [xs, ys] = [corners.map(({ xMm }) => xMm), corners.map(({ yMm }) => yMm)]
  return { left: Math.min(...xs), right: Math.max(...xs), bottom: Math.min(...ys), top: Math.max(...ys) }
}
