import 'uplot/dist/uPlot.min.css'
import { useEffect, useLayoutEffect, useRef } from 'react'
import uPlot from 'uplot'
import styles from './chart.module.css'
import type { ChartData } from './chart-data.ts'
import { onThemeChange } from './inks.ts'
import { plotOptions } from './plot-options.ts'
import type { FrequencyView } from './use-frequency-view.ts'

export interface PlotProps {
  data: ChartData
  view: FrequencyView
  /** What a reader hears in place of the drawing. */
  summary: string
  yLabel: string
  leastSpan: number
  floor?: number
}

const columns = (data: ChartData): uPlot.AlignedData => [data.frequencyHz, ...data.lines.map((line) => line.values)]

/** The drawing itself. Lines may change their values; a chart with other lines needs another `key`. */
export function Plot({ data, view, summary, yLabel, leastSpan, floor }: PlotProps) {
  const place = useRef<HTMLDivElement>(null)
  const plot = useRef<uPlot>(undefined)
  // uPlot keeps the functions it is made with; through these they reach what is current.
  const latest = useRef({ data, view })
  latest.current = { data, view }

  useLayoutEffect(() => {
    const element = place.current
    if (element === null) return
    const size = () => ({ width: element.clientWidth, height: element.clientHeight })
    const options = plotOptions({
      ...size(),
      yLabel,
      leastSpan,
      floor,
      range: latest.current.view.range,
      current: () => latest.current.data,
      onDraw: (aHz, bHz) => latest.current.view.draw(aHz, bHz),
      onReset: () => latest.current.view.reset(),
      onCursor: (frequencyHz) => latest.current.view.setCursorHz(frequencyHz),
    })
    const drawn = new uPlot(options, columns(latest.current.data), element)
    plot.current = drawn
    const watch = new ResizeObserver(() => drawn.setSize(size()))
    watch.observe(element)
    const forget = onThemeChange(() => drawn.redraw())
    return () => {
      forget()
      watch.disconnect()
      drawn.destroy()
      plot.current = undefined
    }
  }, [yLabel, leastSpan, floor])

  const { fromHz, toHz } = view.range
  useEffect(() => {
    plot.current?.setData(columns(data), false)
    plot.current?.setScale('x', { min: fromHz, max: toHz })
  }, [data, fromHz, toHz])

  const { cursorHz } = view
  useEffect(() => {
    // uPlot takes a new scale in a microtask; the cursor's place is only known after it.
    const frame = requestAnimationFrame(() => {
      const drawn = plot.current
      const seen = cursorHz >= fromHz * 0.999 && cursorHz <= toHz * 1.001
      const left = seen && drawn ? drawn.valToPos(cursorHz, 'x') : -10
      drawn?.setCursor({ left, top: left < 0 ? -10 : drawn.over.clientHeight / 2 }, false)
    })
    return () => cancelAnimationFrame(frame)
  }, [cursorHz, fromHz, toHz])

  return <div ref={place} className={styles.plot} role="img" aria-label={summary} />
}
