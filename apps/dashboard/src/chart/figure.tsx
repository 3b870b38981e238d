import { useId } from 'react'
import styles from './chart.module.css'
import { DataTable } from './data-table.tsx'
import { Plot, type PlotProps } from './plot.tsx'

/** A chart with its title and the same numbers as a table. */
export function Figure({
  title,
  of,
  formatValue,
  ...plot
}: PlotProps & { title: string; of: string; formatValue: (value: number) => string }) {
  const id = useId()
  return (
    <figure className={styles.figure} aria-labelledby={id}>
      <figcaption id={id}>{title}</figcaption>
      <Plot {...plot} />
      <DataTable title={title} of={of} data={plot.data} formatValue={formatValue} />
    </figure>
  )
}
