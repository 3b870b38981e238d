import { type BoardLayout, type Placement, partOutline } from '@boardwright/core'

/** From the edge of a body to the middle of a name beside it, mm: that of a lit part is larger. */
const besideMm = { lit: 2.3, plain: 1.4 } as const

/**
 * How far above the middle of a part its name is written, mm; negative is below. A name stands in the middle of its body
 * unless it would cover the pads there; that of a lit part stands beside the body, so that the hatching is seen. Beside, it
 * takes the side where the next pad is farther off.
 */
export function nameRiseMm(placement: Placement, { isLit, board }: { isLit: boolean; board: BoardLayout }): number {
  const { lengthMm, widthMm, angleDeg, round } = partOutline(placement)
  const angle = (angleDeg * Math.PI) / 180
  const across = Math.abs(lengthMm * Math.sin(angle)) + Math.abs(widthMm * Math.cos(angle))
  const halfMm = (round ? lengthMm : across) / 2
  if (!isLit && placement.body !== 'chip') return placement.body === 'radial' ? 0.6 * halfMm : 0
  const riseMm = halfMm + besideMm[isLit ? 'lit' : 'plain']
  const others = board.placements.filter((one) => one !== placement).flatMap((one) => one.pads)
  const roomAt = (yMm: number): number => {
    if (yMm < besideMm.plain || yMm > board.heightMm - besideMm.plain) return -1
    return Math.min(...others.map((pad) => Math.hypot(pad.xMm - placement.xMm, pad.yMm - yMm)))
  }
  return roomAt(placement.yMm + riseMm) >= roomAt(placement.yMm - riseMm) ? riseMm : -riseMm
}
