/** Where a logarithmic axis is marked: 1-2-5 over several decades, finer when zoomed, even steps when very near. */
export function frequencyTicks(fromHz: number, toHz: number): number[] {
  const decades = Math.log10(toHz / fromHz)
  if (decades < 0.35) return evenTicks(fromHz, toHz)
  const steps = decades > 1.6 ? [1, 2, 5] : [1, 1.5, 2, 3, 4, 5, 7]
  return decadeTicks(fromHz, toHz, steps)
}

/** The fine ruling between the marks, as on logarithmic paper. */
export const frequencyRules = (fromHz: number, toHz: number): number[] =>
  decadeTicks(fromHz, toHz, [1, 2, 3, 4, 5, 6, 7, 8, 9])

function decadeTicks(fromHz: number, toHz: number, steps: number[]): number[] {
  const ticks: number[] = []
  // A little slack: the ends of a view come out of logarithms and miss 20 Hz by the last digit.
  for (let decade = 10 ** Math.floor(Math.log10(fromHz)); decade <= toHz; decade *= 10)
    for (const step of steps) {
      const tick = decade * step
      if (tick >= fromHz * 0.9999 && tick <= toHz * 1.0001) ticks.push(tick)
    }
  return ticks
}

function evenTicks(fromHz: number, toHz: number): number[] {
  const rough = (toHz - fromHz) / 5
  const decade = 10 ** Math.floor(Math.log10(rough))
  const step = decade * ([1, 2, 5, 10].find((s) => s * decade >= rough) ?? 10)
  const ticks: number[] = []
  for (let tick = Math.ceil(fromHz / step) * step; tick <= toHz; tick += step) ticks.push(tick)
  return ticks
}

/**
 * What is written at the marks. On a narrow chart the twos between the others stay unwritten, so that the numbers do not
 * run into each other.
 */
export function tickTexts(ticks: readonly number[], { narrow }: { narrow: boolean }): string[] {
  const sparse = narrow && ticks.length > 8
  return ticks.map((tick, i) => (sparse && i > 0 && String(tick).startsWith('2') ? '' : tickText(tick)))
}

/** A mark on the axis without its unit: 50, 1k, 1.5k. */
export const tickText = (frequencyHz: number): string =>
  frequencyHz >= 1000 ? `${Number((frequencyHz / 1000).toPrecision(4))}k` : String(Number(frequencyHz.toPrecision(4)))
