import { useMemo, useState } from 'react'
import type { FrequencyRange } from './chart-data.ts'
import { drawnView, moveView, scaleView } from './frequency-view.ts'

export interface FrequencyView {
  range: FrequencyRange
  whole: FrequencyRange
  /** Where the read-out stands, Hz. */
  cursorHz: number
  setCursorHz: (frequencyHz: number) => void
  draw: (aHz: number, bHz: number) => void
  zoomIn: () => void
  zoomOut: () => void
  reset: () => void
  lower: () => void
  higher: () => void
}

/** Which frequencies a group of charts shows, and where its read-out stands: zooming one zooms all of them. */
export function useFrequencyView(whole: FrequencyRange): FrequencyView {
  const [range, setRange] = useState(whole)
  const [cursorHz, setCursorHz] = useState(1000)
  return useMemo(() => {
    // The read-out is what the maker looks at: zoom keeps it in view.
    const centreHz = cursorHz >= range.fromHz && cursorHz <= range.toHz ? cursorHz : undefined
    return {
      range,
      whole,
      cursorHz,
      setCursorHz,
      draw: (aHz, bHz) => setRange(drawnView(aHz, bHz, whole)),
      zoomIn: () => setRange(scaleView(range, { factor: 0.5, whole, centreHz })),
      zoomOut: () => setRange(scaleView(range, { factor: 2, whole, centreHz })),
      reset: () => setRange(whole),
      lower: () => setRange(moveView(range, { share: -0.5, whole })),
      higher: () => setRange(moveView(range, { share: 0.5, whole })),
    }
  }, [range, whole, cursorHz])
}
