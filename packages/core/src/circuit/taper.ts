export type Taper = 'linear' | 'logarithmic' | 'reverse-logarithmic'

/**
 * Share of a potentiometer's resistance between the counter-clockwise end and the wiper.
 *
 * A logarithmic track is drawn as the exponential through 0, `midShare` at mid rotation and 1; a reverse one is its mirror.
 * Real tracks are made of two or three straight pieces near that curve (common practice, no source).
 *
 * @param position rotation, 0 fully counter-clockwise to 1 fully clockwise
 * @param midShare share at mid rotation of the logarithmic track (0.15 is usual)
 */
export const wiperShare = (taper: Taper, position: number, midShare = 0.15): number => {
  if (taper === 'linear') return position
  if (taper === 'reverse-logarithmic') return 1 - exponential(1 - position, midShare)
  return exponential(position, midShare)
}

const exponential = (position: number, midShare: number): number => {
  const root = (1 - midShare) / midShare
  // At a mid share of one half the exponential becomes the straight line.
  if (Math.abs(root - 1) < 1e-9) return position
  return (root ** (2 * position) - 1) / (root ** 2 - 1)
}
