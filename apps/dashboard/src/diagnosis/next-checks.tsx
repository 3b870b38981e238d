import type { NextCheck } from '@boardwright/core'
import styles from './diagnosis.module.css'

/** The checks that would tell most, with what each of the leading suspects would make them show. */
export function NextChecks({ checks }: { checks: readonly NextCheck[] }) {
  if (checks.length === 0)
    return <p>No further check would tell more: rework the first suspect and test the board again.</p>
  return (
    <>
      <h3>What to check next</h3>
      <ol className={styles.checks} aria-label="Next checks">
        {checks.map(({ words, outcomes }) => (
          <li key={words}>
            <strong>{words}</strong>
            <ul className={styles.outcomes}>
              {outcomes.map((outcome) => (
                <li key={outcome.words}>{outcome.words}</li>
              ))}
            </ul>
          </li>
        ))}
      </ol>
    </>
  )
}
