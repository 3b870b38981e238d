import { formatWhen, reworkRounds, roundWords } from '@boardwright/core'
import type { UnitDetail } from '@boardwright/core/contract'
import { useRunDiagnosis } from '../api/queries.ts'
import styles from './diagnosis.module.css'

/** What was redone on the unit, newest first, and whether that was it. */
export function ReworkHistory({ detail }: { detail: UnitDetail }) {
  const { reworks } = detail
  if (reworks.length === 0) return null
  return (
    <section aria-labelledby="reworks" className={styles.history}>
      <h2 id="reworks">Rework</h2>
      {reworkRounds(detail).map((round) => (
        <Round key={`${round.afterRunId} ${round.designators.join(' ')}`} round={round} />
      ))}
      <ol className={styles.reworks}>
        {reworks.map(({ id, at, station, designator, action, part, lot, note }) => (
          <li key={id}>
            <time dateTime={at}>{formatWhen(at)}</time>
            <span>
              <strong>{designator}</strong> {action.replace('-', ' ')}
              {part && `, put in: ${part}`}
              {lot && `, lot ${lot}`}
              {note && `. ${note}`} ({station})
            </span>
          </li>
        ))}
      </ol>
    </section>
  )
}

/** Whether the suspicion was right; with the suspects of the time where a diagnosis was kept. */
function Round({ round }: { round: ReturnType<typeof reworkRounds>[number] }) {
  const asked = round.diagnosisId !== null && round.afterRunId !== null
  const { data } = useRunDiagnosis(round.afterRunId ?? '', { enabled: asked })
  const suspects = data?.diagnosis.suspects.map(({ designators }) => designators)
  return <p className={styles.outcome}>{roundWords(round, { suspects })}</p>
}
