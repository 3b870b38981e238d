import uPlot from 'uplot'
import type { ChartData, FrequencyRange } from './chart-data.ts'
import { frequencyTicks, tickTexts } from './frequency-axis.ts'
import { hatching } from './hatching.ts'
import { chartFont, inkColour } from './inks.ts'
import { paperRuling } from './paper-ruling.ts'
import { pencilNotes } from './pencil-notes.ts'

export interface PlotWishes {
  width: number
  height: number
  yLabel: string
  /** The height of the chart spans at least so much, so that a flat line is not blown up into mountains. */
  leastSpan: number
  /** Lowest value there is, for quantities that cannot be negative. */
  floor?: number
  current: () => ChartData
  range: FrequencyRange
  onDraw: (aHz: number, bHz: number) => void
  onReset: () => void
  onCursor: (frequencyHz: number) => void
}

/** Room above and below the lines: marks and labels are written there. */
function heightRange(min: number | null, max: number | null, { leastSpan, floor }: PlotWishes): [number, number] {
  const low = min ?? -1
  const high = max ?? 1
  const span = Math.max(high - low, leastSpan)
  const middle = (low + high) / 2
  const bottom = middle - span * 0.7
  return floor !== undefined && bottom < floor ? [floor, floor + span * 1.35] : [bottom, middle + span * 0.7]
}

const seriesOf = (data: ChartData): uPlot.Series[] => [
  {},
  ...data.lines.map(
    (line): uPlot.Series => ({
      label: line.name,
      stroke: () => inkColour(line.ink),
      width: line.width,
      dash: line.dash,
      spanGaps: !line.outOfTable,
      points: { show: false },
    }),
  ),
]

function axesOf(yLabel: string): uPlot.Axis[] {
  const stroke = () => inkColour('ink')
  const font = chartFont(13)
  const ticks = { stroke: () => inkColour('pencil'), size: 5, width: 1 }
  const border = { show: true, stroke: () => inkColour('pencil'), width: 1.5 }
  return [
    {
      stroke,
      font,
      ticks,
      border,
      label: 'Frequency (Hz)',
      labelFont: font,
      labelSize: 20,
      size: 30,
      grid: { show: false },
      splits: (_plot, _axis, min, max) => frequencyTicks(min, max),
      values: (plot, splits) => tickTexts(splits, { narrow: plot.width < 420 }),
      filter: (_plot, splits) => splits,
    },
    {
      stroke,
      font,
      ticks,
      border,
      label: yLabel,
      labelFont: font,
      labelSize: 18,
      size: 46,
      grid: { stroke: () => inkColour('rule'), width: 1 },
      values: (_plot, splits) => splits.map((value) => String(Number(value.toPrecision(6))).replace('-', '\u2212')),
    },
  ]
}

/** What uPlot needs to draw a chart of this kind. */
export function plotOptions(wishes: PlotWishes): uPlot.Options {
  const data = wishes.current()
  return {
    width: wishes.width,
    height: wishes.height,
    legend: { show: false },
    series: seriesOf(data),
    bands: data.band
      ? [
          {
            series: [data.band.upper + 1, data.band.lower + 1],
            // uPlot's type names only colours; a canvas takes a pattern just as well.
            fill: (plot) => hatching(plot.ctx, uPlot.pxRatio) as string,
          },
        ]
      : [],
    axes: axesOf(wishes.yLabel),
    scales: {
      x: { time: false, distr: 3, range: (_plot, min, max) => [min, max] },
      y: { range: (_plot, min, max) => heightRange(min, max, wishes) },
    },
    cursor: {
      y: false,
      drag: { x: true, y: false, setScale: false },
      bind: {
        dblclick: () => () => {
          wishes.onReset()
          return null
        },
      },
    },
    hooks: {
      setSelect: [
        (plot) => {
          const { left, width } = plot.select
          if (width > 6) wishes.onDraw(plot.posToVal(left, 'x'), plot.posToVal(left + width, 'x'))
          plot.setSelect({ left: 0, top: 0, width: 0, height: 0 }, false)
        },
      ],
      setCursor: [
        (plot) => {
          const frequencyHz = plot.cursor.idx == null ? undefined : plot.data[0][plot.cursor.idx]
          if (frequencyHz !== undefined) wishes.onCursor(frequencyHz)
        },
      ],
    },
    plugins: [paperRuling(), pencilNotes(wishes.current)],
  }
}
