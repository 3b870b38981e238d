import type { Distortion } from '@boardwright/core'
import { formatDb, formatPercent } from '@boardwright/core'
import { useMemo } from 'react'
import type { ChartData } from '../chart/chart-data.ts'
import { Figure } from '../chart/figure.tsx'
import type { FrequencyView } from '../chart/use-frequency-view.ts'
import { harmonicsChart, thdChart } from './distortion-charts.ts'
import styles from './setting-section.module.css'

interface DistortionProps {
  distortion: Distortion
  view: FrequencyView
  serial: string
  setting: string
}

/** The harmonics in dB and their sum in per cent, side by side where there is room. */
export function DistortionFigures({ distortion, view, serial, setting }: DistortionProps) {
  const harmonics = useMemo(() => harmonicsChart(distortion), [distortion])
  const thd = useMemo(() => thdChart(distortion), [distortion])
  const names = harmonics.lines.map((line) => line.name).join(', ')
  return (
    <div className={styles.pair}>
      <Figure
        of={setting}
        title="Harmonics (dB relative to the fundamental)"
        summary={`Harmonics of ${serial} at ${setting} over the frequency of the fundamental: ${names}. ${extent(harmonics)}`}
        yLabel="Level (dB)"
        leastSpan={20}
        data={harmonics}
        view={view}
        formatValue={(value) => formatDb(value)}
      />
      <Figure
        of={setting}
        title="Total harmonic distortion, THD (%)"
        summary={`Total harmonic distortion of ${serial} at ${setting} over the frequency of the fundamental. ${extent(thd)}`}
        yLabel="THD (%)"
        leastSpan={0.05}
        floor={0}
        data={thd}
        view={view}
        formatValue={formatPercent}
      />
    </div>
  )
}

const extent = ({ frequencyHz }: ChartData): string =>
  frequencyHz.length === 0 ? 'There are no values.' : 'The table below has the values.'
