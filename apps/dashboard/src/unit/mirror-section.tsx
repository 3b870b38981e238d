import type { MirrorJudgement } from '@boardwright/core'
import { formatDb, formatHz } from '@boardwright/core'
import { useId, useMemo } from 'react'
import { Figure } from '../chart/figure.tsx'
import { nearest } from '../chart/nearest.ts'
import { ReadOut } from '../chart/read-out.tsx'
import { useFrequencyView } from '../chart/use-frequency-view.ts'
import { ViewButtons } from '../chart/view-buttons.tsx'
import { VerdictMark } from '../verdict/verdict-mark.tsx'
import { mirrorChart } from './mirror-chart.ts'
import styles from './setting-section.module.css'

/** The check of maximum and minimum against each other. */
export function MirrorSection({ mirror }: { mirror: MirrorJudgement }) {
  const id = useId()
  return (
    <section className={styles.setting} aria-labelledby={id} data-setting="mirror">
      <header className={styles.head}>
        <h2 id={id}>
          Mirror check<span>: minimum is the inverse of maximum</span>
        </h2>
        <VerdictMark verdict={mirror.verdict} />
      </header>
      {mirror.frequencyHz.length > 1 ? (
        <MirrorCurve mirror={mirror} />
      ) : (
        <p className={styles.none}>It could not be made: it needs a good recording at both settings.</p>
      )}
    </section>
  )
}

function MirrorCurve({ mirror }: { mirror: MirrorJudgement }) {
  const { frequencyHz, productDb, worstDb, worstHz, limitDb } = mirror
  const whole = useMemo(
    () => ({ fromHz: frequencyHz[0] ?? 20, toHz: frequencyHz[frequencyHz.length - 1] ?? 20_000 }),
    [frequencyHz],
  )
  const view = useFrequencyView(whole)
  const data = useMemo(() => mirrorChart(mirror), [mirror])
  const signed = (db: number) => formatDb(db, { digits: 2, signed: true })
  return (
    <>
      <div className={styles.tools}>
        <ViewButtons view={view} of="mirror check" />
      </div>
      <Figure
        of="mirror check"
        title="Maximum and minimum together (dB); flat is a perfect mirror"
        summary={`Maximum and minimum together, farthest from flat ${signed(worstDb)} at ${formatHz(worstHz)}; limit ${formatDb(limitDb, { digits: 2 })} either way.`}
        yLabel="Product (dB)"
        leastSpan={2}
        data={data}
        view={view}
        formatValue={signed}
      />
      <ReadOut
        view={view}
        frequencyHz={frequencyHz}
        describe={(index) => `${signed(productDb[index] ?? 0)} (limit ${formatDb(limitDb, { digits: 2 })} either way)`}
      />
      <p>
        Farthest from flat: <strong>{signed(productDb[nearest(frequencyHz, worstHz)] ?? worstDb)}</strong> at{' '}
        {formatHz(worstHz)}.
      </p>
    </>
  )
}
