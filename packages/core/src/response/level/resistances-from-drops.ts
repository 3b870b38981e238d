/** Nothing lower drives, nothing higher loads: beyond is a slip. */
const leastShare = 1e-4

/**
 * Source resistance of an output and load resistance of an input, from one tone and one known resistor: plugged straight
 * together, with the resistor between them, and with the resistor from the plug to ground. Any unit of voltage.
 *
 * With S = Rs + Rl and P = Rs·Rl/S: straight/inSeries = 1 + R/S and straight/toGround = 1 + P/R, so Rs and Rl are the two
 * roots of x² - S·x + P·S; the source is the smaller one. Source: Ohm's law, voltage dividers.
 *
 * @returns ohm; null when the three do not fit one resistor
 */
export function resistancesFromDrops(options: {
  resistorOhm: number
  straight: number
  inSeries: number
  toGround: number
}): { sourceResistanceOhm: number; loadResistanceOhm: number } | null {
  const { resistorOhm, straight, inSeries, toGround } = options
  const seriesDrop = straight / inSeries - 1
  const groundDrop = straight / toGround - 1
  if (!(resistorOhm > 0 && seriesDrop > leastShare && groundDrop > -leastShare)) return null
  const sum = resistorOhm / seriesDrop
  const parallel = resistorOhm * Math.max(0, groundDrop)
  const square = sum * sum - 4 * parallel * sum
  if (!(square >= 0) || !Number.isFinite(sum)) return null
  const loadResistanceOhm = (sum + Math.sqrt(square)) / 2
  return { sourceResistanceOhm: (parallel * sum) / loadResistanceOhm, loadResistanceOhm }
}
