import type { RigStanding } from '@boardwright/core/contract'
import { DriftFigure } from './drift-figure.tsx'
import styles from './rig.module.css'
import { rigNames, stateSigns } from './rig-words.ts'

/** One rig: how it stands in a sentence, and how it drifts. */
export function RigStandingSection({ rig, status, chart }: RigStanding) {
  const id = `rig-${rig}`
  const { state, sentence, warning, unitsSince, everyUnits, lastGood } = status
  return (
    <section aria-labelledby={id} data-rig={rig} className={styles.block}>
      <h2 id={id}>{rigNames[rig]}</h2>
      <p className={styles.standing} data-state={state}>
        <span aria-hidden="true">{stateSigns[state]} </span>
        {sentence}
      </p>
      {state === 'drifted' && (
        <p>
          Nothing is tested on it until it is good again: mend it (level, cables, pins), then measure the reference
          board at the bench.
        </p>
      )}
      {warning && <p className={styles.warning}>{warning}</p>}
      <p>
        {unitsSince} {unitsSince === 1 ? 'unit' : 'units'} tested {lastGood ? 'since the last good check' : 'so far'}; a
        check is due after {everyUnits}, and first thing in a session.
      </p>
      {chart.checks.length > 0 && (
        <>
          <div className={styles.charts}>
            <DriftFigure series={chart.level} checks={chart.checks} />
            <DriftFigure series={chart.shape} checks={chart.checks} />
          </div>
          <p className={styles.key}>
            Dots: checks; crosses: beyond a limit. Dashed: the limit of the test plan.{' '}
            {chart.level.control
              ? 'Shaded: what is usual for this rig; line: weighted average.'
              : `What is usual for this rig shows from 8 good checks on; so far: ${chart.checks.length}.`}
          </p>
        </>
      )}
    </section>
  )
}
