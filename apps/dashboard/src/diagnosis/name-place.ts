import { type Placement, partOutline } from '@boardwright/core'

/** Room that the name of a lit part takes above its body, mm. */
const litNameMm = 2.3

/**
 * How far above the middle of a part its name is written, mm; negative is below. A name stands in the middle of its body
 * unless it would cover the pads there; that of a lit part stands beside the body, so that the hatching is seen.
 * @param at.roomMm from the part to the upper edge of the board
 */
export function nameRiseMm(placement: Placement, { isLit, roomMm }: { isLit: boolean; roomMm: number }): number {
  const { lengthMm, widthMm, angleDeg, round } = partOutline(placement)
  const angle = (angleDeg * Math.PI) / 180
  const halfMm = round ? lengthMm / 2 : (Math.abs(lengthMm * Math.sin(angle)) + Math.abs(widthMm * Math.cos(angle))) / 2
  if (isLit) return halfMm + 2 * litNameMm > roomMm ? -(halfMm + litNameMm) : halfMm + litNameMm
  if (placement.body === 'radial') return 0.6 * halfMm
  return placement.body === 'chip' ? halfMm + 1.4 : 0
}
