import type { MirrorJudgement } from '@boardwright/core'
import { formatDb, formatHz } from '@boardwright/core'
import type { ChartData, ChartLine } from '../chart/chart-data.ts'

/** The product of the two curves between its limits. */
export function mirrorChart({
  frequencyHz,
  productDb,
  limitDb,
  verdict,
  worstHz,
  worstDb,
}: MirrorJudgement): ChartData {
  const limit = (name: string, level: number): ChartLine => ({
    name,
    ink: 'pencil',
    width: 2,
    values: frequencyHz.map(() => level),
  })
  const text = `${formatDb(worstDb, { digits: 2, signed: true })} at ${formatHz(worstHz)}`
  return {
    frequencyHz,
    band: { upper: 0, lower: 1 },
    marks:
      verdict === 'pass' ? [] : [{ frequencyHz: worstHz, value: worstDb, text, side: worstDb > 0 ? 'above' : 'below' }],
    lines: [
      { ...limit('upper limit', limitDb), label: { text: 'limit', at: 0.88, side: 'above' } },
      limit('lower limit', -limitDb),
      { name: 'maximum and minimum together', ink: 'blue', width: 2.75, values: productDb },
    ],
  }
}
