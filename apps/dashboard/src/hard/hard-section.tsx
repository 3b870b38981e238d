import { formatDb, formatWhen, type HardAtSupply, type HardPlan, meanSignature } from '@boardwright/core'
import type { HardRunDetail } from '@boardwright/core/contract'
import { useMemo } from 'react'
import { useProducts } from '../api/queries.ts'
import { Figure } from '../chart/figure.tsx'
import { type FrequencyView, useFrequencyView } from '../chart/use-frequency-view.ts'
import { ProblemSlip } from '../frame/problem.tsx'
import { verdictWords } from '../verdict/verdict-words.ts'
import { ClippingTable } from './clipping-table.tsx'
import styles from './hard.module.css'
import { useHardRun, useHardRuns } from './hard-queries.ts'
import { harmonicAgainstReference, ordinalOf } from './signature-chart.ts'

const shown = { fromHz: 20, toHz: 10_000 }
const usualClipPercent = 3

/** What the unit does when it is pressed hard, against the reference board; nothing where it never was. */
export function HardSection({ serial }: { serial: string }) {
  const runs = useHardRuns(serial)
  const detail = useHardRun(runs.data?.runs[0]?.id)
  const products = useProducts()
  if (runs.error) return <ProblemSlip error={runs.error} onRetry={() => void runs.refetch()} />
  if (detail.error) return <ProblemSlip error={detail.error} onRetry={() => void detail.refetch()} />
  if (!detail.data) return null
  const product = products.data?.products.find(({ id }) => id === detail.data.run.productId)
  return <HardRunView detail={detail.data} hard={product?.testPlan.hard} />
}

function HardRunView({ detail: { run, reference }, hard }: { detail: HardRunDetail; hard: HardPlan | undefined }) {
  const mean = useMemo(() => meanSignature(reference.takes), [reference])
  const view = useFrequencyView(shown)
  return (
    <section className={styles.section} aria-labelledby="pressed-hard">
      <h2 id="pressed-hard">Pressed hard: {verdictWords[run.verdict].short}</h2>
      <p>
        <time dateTime={run.startedAt}>{formatWhen(run.startedAt)}</time> at {run.station}; compared with version{' '}
        {run.referenceVersion} of the reference board's signature.
      </p>
      <ul>
        {run.judgement.reasons.map((reason) => (
          <li key={reason.message}>{reason.message}</li>
        ))}
      </ul>
      {run.judgement.character.map((sentence) => (
        <p key={sentence}>{sentence}</p>
      ))}
      {run.signature.supplies.map((unit) => {
        const other = mean.supplies.find((one) => one.name === unit.name)
        if (!other || unit.steps.length === 0) return null
        return (
          <div key={unit.name}>
            <div className={styles.wide}>
              <ClippingTable unit={unit} reference={other} clipPercent={hard?.clipPercent ?? usualClipPercent} />
            </div>
            <HarmonicFigures unit={unit} reference={other} serial={run.serial} view={view} />
          </div>
        )
      })}
    </section>
  )
}

interface HarmonicFiguresProps {
  unit: HardAtSupply
  reference: HardAtSupply
  serial: string
  view: FrequencyView
}

function HarmonicFigures({ unit, reference, serial, view }: HarmonicFiguresProps) {
  const [one, other] = [unit.sweep, reference.sweep]
  const charts = useMemo(
    () =>
      one && other
        ? one.harmonics.map(({ order }) => ({ order, data: harmonicAgainstReference(one, other, order) }))
        : [],
    [one, other],
  )
  return (
    <div className={styles.figures}>
      {charts.map(({ order, data }) => (
        <Figure
          key={order}
          of={unit.label}
          title={`${ordinalOf(order)} harmonic, ${unit.label.toLowerCase()} (dB relative to the fundamental)`}
          summary={`${ordinalOf(order)} harmonic of ${serial} in the loud sweep over the frequency of the fundamental, beside the reference's. The table below has the values.`}
          yLabel="Level (dB)"
          leastSpan={20}
          data={data}
          view={view}
          formatValue={(value) => formatDb(value)}
        />
      ))}
    </div>
  )
}
