import type { Ref } from 'react'
import { toNote } from '../api/problem-error.ts'
import styles from './problem.module.css'

/** A thing that did not work: the sentence, what to do, and which parts of the input were wrong. */
export function ProblemSlip({ error, onRetry, ref }: { error: unknown; onRetry?: () => void; ref?: Ref<HTMLElement> }) {
  const note = toNote(error)
  return (
    <section ref={ref} tabIndex={-1} role="alert" className={styles.slip} data-code={note.code}>
      <p className={styles.sentence}>{note.sentence}</p>
      <p className={styles.remedy}>{note.remedy}</p>
      {note.errors.length > 0 && (
        <ul className={styles.errors}>
          {note.errors.map(({ pointer, message }) => (
            <li key={pointer + message}>
              {pointer.replace(/^\/(body|params|query)\//, '')}: {message}
            </li>
          ))}
        </ul>
      )}
      {onRetry && (
        <button type="button" onClick={onRetry}>
          Try again
        </button>
      )}
    </section>
  )
}
