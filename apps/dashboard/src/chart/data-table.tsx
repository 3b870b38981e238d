import { formatHz } from '@boardwright/core'
import { useState } from 'react'
import styles from './chart.module.css'
import type { ChartData } from './chart-data.ts'

interface TableProps {
  title: string
  /** The setting or check that the chart belongs to: several charts of a page have the same title. */
  of: string
  data: ChartData
  formatValue: (value: number) => string
}

/** The chart's numbers, written only when they are asked for: a curve has some 240 rows. */
export function DataTable(props: TableProps) {
  const [open, setOpen] = useState(false)
  return (
    <details className={styles.details} onToggle={(event) => setOpen(event.currentTarget.open)}>
      <summary>
        Show as table
        <span className="unseen">
          : {props.title}, {props.of}
        </span>
      </summary>
      {open && <Rows {...props} />}
    </details>
  )
}

function Rows({ title, of, data, formatValue }: TableProps) {
  const lines = data.lines.filter((line) => !line.outOfTable)
  return (
    // Scrolls by itself, so it must take the focus to be scrolled by keys.
    // biome-ignore lint/a11y/noNoninteractiveTabindex: see the line above
    // biome-ignore lint/a11y/useSemanticElements: a section would be one landmark more, a fieldset is for inputs
    <div role="group" aria-label={`${title}, ${of}, table`} tabIndex={0} className={styles.scroll}>
      <table>
        <thead>
          <tr>
            <th scope="col">Frequency</th>
            {lines.map(({ name }) => (
              <th scope="col" key={name}>
                {name}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {data.frequencyHz.map((frequencyHz, row) => (
            <tr key={frequencyHz}>
              <th scope="row">{formatHz(frequencyHz)}</th>
              {lines.map(({ name, values }) => {
                const value = values[row] ?? null
                return <td key={name}>{value === null ? '–' : formatValue(value)}</td>
              })}
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  )
}
