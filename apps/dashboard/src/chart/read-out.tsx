import { formatHz } from '@boardwright/core'
import { type KeyboardEvent, useId } from 'react'
import styles from './chart.module.css'
import { nearest } from './nearest.ts'
import type { FrequencyView } from './use-frequency-view.ts'

/**
 * What the charts say at one frequency, in words; a slider moves along the visible points. `describe` writes the words
 * for an index into `frequencyHz`.
 */
export function ReadOut({
  view,
  frequencyHz,
  describe,
}: {
  view: FrequencyView
  frequencyHz: readonly number[]
  describe: (index: number) => string
}) {
  const id = useId()
  const { fromHz, toHz } = view.range
  const visible = frequencyHz.flatMap((f, i) => (f >= fromHz * 0.9999 && f <= toHz * 1.0001 ? [i] : []))
  const first = visible[0] ?? 0
  const last = visible[visible.length - 1] ?? 0
  const index = Math.min(Math.max(nearest(frequencyHz, view.cursorHz), first), last)
  const words = describe(index)

  const zoom = (event: KeyboardEvent) => {
    const act = { '+': view.zoomIn, '-': view.zoomOut, '0': view.reset }[event.key]
    if (!act) return
    event.preventDefault()
    act()
  }

  return (
    <div className={styles.readOut}>
      <label htmlFor={id}>Read off at</label>
      <input
        id={id}
        type="range"
        min={first}
        max={last}
        step={1}
        value={index}
        aria-valuetext={`${formatHz(frequencyHz[index] ?? 0)}: ${words}`}
        onChange={(event) => view.setCursorHz(frequencyHz[Number(event.target.value)] ?? 1000)}
        onKeyDown={zoom}
      />
      <output htmlFor={id} aria-live="off">
        <strong>{formatHz(frequencyHz[index] ?? 0)}</strong> {words}
      </output>
    </div>
  )
}
