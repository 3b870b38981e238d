// Source: IEC 60062, tolerance letters (F to M beyond doubt; the others from general knowledge).
const letters: readonly { letter: string; percent: number }[] = [
  { letter: 'E', percent: 0.005 },
  { letter: 'L', percent: 0.01 },
  { letter: 'P', percent: 0.02 },
  { letter: 'W', percent: 0.05 },
  { letter: 'B', percent: 0.1 },
  { letter: 'C', percent: 0.25 },
  { letter: 'D', percent: 0.5 },
  { letter: 'F', percent: 1 },
  { letter: 'G', percent: 2 },
  { letter: 'H', percent: 3 },
  { letter: 'J', percent: 5 },
  { letter: 'K', percent: 10 },
  { letter: 'M', percent: 20 },
  { letter: 'N', percent: 30 },
]
const lopsided = [
  { letter: 'Q', below: -0.1, above: 0.3 },
  { letter: 'T', below: -0.1, above: 0.5 },
  { letter: 'S', below: -0.2, above: 0.5 },
  { letter: 'Z', below: -0.2, above: 0.8 },
]
/** Below 10 pF the letters stand for picofarads. */
const small = { B: 0.1, C: 0.25, D: 0.5, F: 1, G: 2 }

const near = (one: number, other: number): boolean => Math.abs(one - other) < 1e-6 * Math.max(1, Math.abs(other))

/** The letter for a capacitor's tolerance (a share, or shares below and above); undefined when none stands for it. */
export function toleranceLetter(capacitanceF: number, tolerance: number | [number, number]): string | undefined {
  if (typeof tolerance !== 'number')
    return lopsided.find(({ below, above }) => near(below, tolerance[0]) && near(above, tolerance[1]))?.letter
  const picofarads = capacitanceF * 1e12
  if (picofarads < 9.999) return Object.entries(small).find(([, limit]) => near(tolerance * picofarads, limit))?.[0]
  return letters.find(({ percent }) => near(100 * tolerance, percent))?.letter
}
