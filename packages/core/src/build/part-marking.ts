import type { Part } from '../model/part.ts'
import { type ColourBand, colourBands } from './colour-bands.ts'
import { digitCode } from './digit-code.ts'
import { toleranceLetter } from './tolerance-letter.ts'

/** How a part is told by looking at it. */
export interface PartMarking {
  /** Colour bands in reading order; empty when it has none. */
  bands: ColourBand[]
  /** The code on the body, such as "473J"; null when it has none. */
  code: string | null
  /** All of it in words. */
  words: string
  /** Which end is which; null for a part that fits either way round. */
  polarity: string | null
}

/** How a part is marked: colour bands, letter and digit codes, and which end is which. Source: IEC 60062. */
export function partMarking(part: Part): PartMarking {
  const found = part.body === 'chip' ? chipMarking(part) : bodyMarking(part)
  const polarity = polarityOf(part)
  return { bands: [], code: null, ...found, polarity }
}

type Found = Pick<PartMarking, 'words'> & Partial<PartMarking>

function bodyMarking(part: Part): Found {
  const { kind, resistanceOhm, tolerance, value } = part
  if (kind === 'resistor' && resistanceOhm !== undefined) {
    const bands = colourBands({ resistanceOhm, tolerance: typeof tolerance === 'number' ? tolerance : undefined })
    if (bands) return { bands, words: `bands ${bands.map(({ colour }) => colour).join(', ')}` }
  }
  if (kind === 'capacitor' && !part.polarised) {
    const code = capacitorCode(part)
    if (code) return { code, words: `marked ${code}` }
  }
  if (kind === 'capacitor') {
    const volts = part.ratedVoltageV === undefined ? '' : `, ${part.ratedVoltageV} V`
    return { words: `printed ${value}${volts}` }
  }
  if (kind === 'op-amp' || kind === 'diode') return { words: `printed ${part.number}` }
  return { words: value ? `marked ${value}` : part.number }
}

/** 33 nF at 5 % is 333J. */
function capacitorCode({ capacitanceF, tolerance }: Part): string | undefined {
  if (capacitanceF === undefined) return undefined
  const digits = digitCode(capacitanceF * 1e12, 2)
  if (digits === undefined) return undefined
  return digits + (tolerance === undefined ? '' : (toleranceLetter(capacitanceF, tolerance) ?? ''))
}

function chipMarking({ kind, resistanceOhm, tolerance, value }: Part): Found {
  if (kind === 'resistor' && resistanceOhm !== undefined) {
    const isFine = typeof tolerance === 'number' && tolerance < 0.021
    const code = resistanceOhm === 0 ? '000' : digitCode(resistanceOhm, isFine ? 3 : 2)
    if (code) return { code, words: `marked ${code}` }
  }
  // Common practice: chip capacitors carry no print.
  return { words: `${value}: nothing is printed on it, so keep it in its labelled bag until it is fitted` }
}

// Common practice, no source.
function polarityOf({ kind, polarised }: Part): string | null {
  if (kind === 'diode') return 'the ring marks the cathode'
  if (kind === 'op-amp') return 'the notch or dot marks the end of pin 1'
  if (!polarised) return null
  return kind === 'capacitor' ? 'the stripe marks the minus lead, the longer lead is plus' : 'see its data sheet'
}
