import { formatWhen } from '@boardwright/core'
import type { UnitDetail } from '@boardwright/core/contract'
import { Link } from 'wouter'
import { VerdictMark } from '../verdict/verdict-mark.tsx'
import styles from './unit-history.module.css'

/** Every test run of the unit, newest first, to switch between them. */
export function RunHistory({
  runs,
  shown,
  serial,
}: {
  runs: UnitDetail['runs']
  shown: string | undefined
  serial: string
}) {
  if (runs.length === 0) return null
  return (
    <nav aria-labelledby="runs" className={styles.block}>
      <h2 id="runs">Test runs of {serial}</h2>
      <ol className={styles.runs} reversed>
        {runs.map((run) => (
          <li key={run.id} data-run={run.id}>
            <Link
              href={`/units/${encodeURIComponent(serial)}/runs/${encodeURIComponent(run.id)}`}
              aria-current={run.id === shown ? 'true' : undefined}
            >
              <VerdictMark verdict={run.verdict} />
              <span>
                {formatWhen(run.startedAt)}
                {run.id === shown && <em> (shown above)</em>}
              </span>
            </Link>
            <p>{run.reason}</p>
          </li>
        ))}
      </ol>
    </nav>
  )
}
