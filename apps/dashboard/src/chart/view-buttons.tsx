import { formatHz } from '@boardwright/core'
import styles from './chart.module.css'
import type { FrequencyView } from './use-frequency-view.ts'

const signs = {
  zoomIn: 'M4 12h16M12 4v16',
  zoomOut: 'M4 12h16',
  lower: 'M15 4 7 12l8 8',
  higher: 'm9 4 8 8-8 8',
} as const

const Sign = ({ name }: { name: keyof typeof signs }) => (
  <svg aria-hidden="true" viewBox="0 0 24 24" width="22" height="22">
    <path d={signs[name]} fill="none" stroke="currentColor" strokeWidth="2.8" strokeLinecap="round" />
  </svg>
)

/** Zoom and pan for those who do not drag: keyboard, touch, dirty hands. */
export function ViewButtons({ view, of }: { view: FrequencyView; of: string }) {
  const { range, whole } = view
  const isWhole = range.toHz / range.fromHz > (whole.toHz / whole.fromHz) * 0.999
  return (
    <fieldset className={styles.buttons} aria-label={`Frequencies shown, ${of}`}>
      <button type="button" onClick={view.zoomIn} aria-label="Zoom in">
        <Sign name="zoomIn" />
      </button>
      <button type="button" onClick={view.zoomOut} aria-label="Zoom out" disabled={isWhole}>
        <Sign name="zoomOut" />
      </button>
      <button type="button" onClick={view.lower} aria-label="To lower frequencies" disabled={isWhole}>
        <Sign name="lower" />
      </button>
      <button type="button" onClick={view.higher} aria-label="To higher frequencies" disabled={isWhole}>
        <Sign name="higher" />
      </button>
      <button type="button" onClick={view.reset} disabled={isWhole}>
        Whole range
      </button>
      <p role="status">
        {formatHz(range.fromHz)} to {formatHz(range.toHz)}
      </p>
    </fieldset>
  )
}
