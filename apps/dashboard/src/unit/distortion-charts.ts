import type { Distortion } from '@boardwright/core'
import type { ChartData, ChartLine } from '../chart/chart-data.ts'

// One dash pattern an order, and the label of each at another place, so that lines that lie close stay apart.
const looks: Record<string, Omit<ChartLine, 'name' | 'values' | 'label'> & { at: number; ordinal: string }> = {
  '2': { ordinal: '2nd', ink: 'blue', width: 2.5, at: 0.2 },
  '3': { ordinal: '3rd', ink: 'orange', width: 2.5, dash: [10, 5], at: 0.36 },
  '4': { ordinal: '4th', ink: 'ink', width: 1.75, dash: [2, 4], at: 0.52 },
  '5': { ordinal: '5th', ink: 'pencil', width: 1.75, dash: [10, 4, 2, 4], at: 0.68 },
}

/** Each harmonic over the frequency of its fundamental. */
export function harmonicsChart({ frequencyHz, orders }: Distortion): ChartData {
  const lines = Object.entries(orders).map(([order, values], i): ChartLine => {
    const { ordinal, at, ...look } = looks[order] ?? {
      ordinal: `${order}th`,
      ink: 'pencil' as const,
      width: 1.5,
      at: 0.8,
    }
    return {
      ...look,
      name: `${ordinal} harmonic`,
      values,
      label: { text: ordinal, at, side: i % 2 ? 'below' : 'above' },
    }
  })
  return { frequencyHz, lines, marks: [] }
}

export const thdChart = ({ frequencyHz, thdPercent }: Distortion): ChartData => ({
  frequencyHz,
  lines: [{ name: 'THD', ink: 'blue', width: 2.5, values: thdPercent }],
  marks: [],
})
