import { splitDigits } from './digit-code.ts'

const digitColours = ['black', 'brown', 'red', 'orange', 'yellow', 'green', 'blue', 'violet', 'grey', 'white'] as const
export type BandColour = (typeof digitColours)[number] | 'gold' | 'silver' | 'pink'

/** A band as it is read: what it stands for, and its colour. */
export interface ColourBand {
  means: 'digit' | 'multiplier' | 'tolerance'
  colour: BandColour
}

const smallMultipliers: Readonly<Record<number, BandColour>> = { [-1]: 'gold', [-2]: 'silver', [-3]: 'pink' }

// Grey is left out: published tables disagree on it.
const toleranceColours: readonly { percent: number; colour: BandColour }[] = [
  { percent: 0.02, colour: 'yellow' },
  { percent: 0.05, colour: 'orange' },
  { percent: 0.1, colour: 'violet' },
  { percent: 0.25, colour: 'blue' },
  { percent: 0.5, colour: 'green' },
  { percent: 1, colour: 'brown' },
  { percent: 2, colour: 'red' },
  { percent: 5, colour: 'gold' },
  { percent: 10, colour: 'silver' },
]

/**
 * The colour bands of a resistor, in the order they are read: three digits up to 2 %, else two; one black band for a wire
 * link. A tolerance without a colour gives no band for it.
 * @param options.tolerance share, 0.01 for 1 %
 * @returns undefined when the value has no bands of its own
 * Source: IEC 60062, colour code (from general knowledge, compared with public tables).
 */
export function colourBands(options: { resistanceOhm: number; tolerance?: number }): ColourBand[] | undefined {
  const { resistanceOhm, tolerance = 0.2 } = options
  if (resistanceOhm === 0) return [{ means: 'digit', colour: 'black' }]
  const zeros = { least: -3, most: 9 }
  const short = tolerance > 0.021 ? splitDigits(resistanceOhm, { digits: 2, zeros }) : undefined
  const split = short ?? splitDigits(resistanceOhm, { digits: 3, zeros })
  if (!split) return undefined
  const bands: ColourBand[] = Array.from(split.digits, (digit) => ({
    means: 'digit',
    colour: digitColours[Number(digit)]!,
  }))
  bands.push({ means: 'multiplier', colour: digitColours[split.zeros] ?? smallMultipliers[split.zeros]! })
  const band = toleranceColours.find(({ percent }) => Math.abs(percent / (100 * tolerance) - 1) < 1e-6)
  if (band) bands.push({ means: 'tolerance', colour: band.colour })
  return bands
}
