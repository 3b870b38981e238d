/** What a quantity measures, with its SI unit as the unit library spells it, its printed symbol, and words for errors. */
export const dimensions = {
  resistance: { unit: 'ohm', symbol: 'Ω', word: 'a resistance', example: '"47 kohm" or "4k7"' },
  capacitance: { unit: 'F', symbol: 'F', word: 'a capacitance', example: '"4.7 nF" or "4n7"' },
  inductance: { unit: 'H', symbol: 'H', word: 'an inductance', example: '"2.2 mH" or "2m2"' },
  voltage: { unit: 'V', symbol: 'V', word: 'a voltage', example: '"9 V"' },
  current: { unit: 'A', symbol: 'A', word: 'a current', example: '"0.25 mA"' },
  frequency: { unit: 'Hz', symbol: 'Hz', word: 'a frequency', example: '"1 MHz"' },
  time: { unit: 's', symbol: 's', word: 'a time', example: '"10 ms"' },
  power: { unit: 'W', symbol: 'W', word: 'a power', example: '"250 mW"' },
} as const

export type Dimension = keyof typeof dimensions
