import type { Placement } from '../model/placement.ts'

/** A hundred-thousandth of a millimetre: far below any drill, and no tails of binary fractions in a product file. */
const rounded = (mm: number): number => Math.round(1e5 * mm) / 1e5

/** A part at its new place, its pads moved and turned with it; to the other side they change left and right. */
export function movePlacement(before: Placement, after: Omit<Placement, 'pads'>): Placement {
  const angle = ((after.rotationDeg - before.rotationDeg) * Math.PI) / 180
  const mirror = before.side === after.side ? 1 : -1
  const pads = before.pads.map((pad) => {
    const [x, y] = [mirror * (pad.xMm - before.xMm), pad.yMm - before.yMm]
    return {
      ...pad,
      xMm: rounded(after.xMm + x * Math.cos(angle) - y * Math.sin(angle)),
      yMm: rounded(after.yMm + x * Math.sin(angle) + y * Math.cos(angle)),
    }
  })
  return { ...after, pads }
}
