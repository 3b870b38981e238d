import { formatDb, formatDbfs } from '@boardwright/core'
import type { Headroom } from '@boardwright/core/workshop'

/** Whether the loudest board overloads the input, and what to do. */
export function headroomWords({ boardGainDb, expectedPeakDbfs, turnDownDb }: Headroom): string {
  const told = `A board amplifies by up to ${formatDb(boardGainDb)}, so the sweep comes back at ${formatDbfs(expectedPeakDbfs)} at most`
  return turnDownDb > 0
    ? `${told}: too loud. Turn the input down by ${formatDb(turnDownDb, { digits: 0 })}, then calibrate and measure the correction again.`
    : `${told}: there is room.`
}
