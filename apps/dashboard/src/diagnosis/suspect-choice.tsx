import { type Diagnosis, formatProbability } from '@boardwright/core'
import { useId } from 'react'
import styles from './diagnosis.module.css'

/** The suspects, most probable first; the chosen one is marked on the board and drawn in the charts. */
export function SuspectChoice({
  diagnosis,
  chosen,
  onChoose,
}: {
  diagnosis: Diagnosis
  chosen: number
  onChoose: (index: number) => void
}) {
  const name = useId()
  return (
    <fieldset className={styles.suspects}>
      <legend>Suspects, most probable first</legend>
      {diagnosis.suspects.map(({ suspicions, probability, words }, i) => {
        const [{ id, expected, found }] = suspicions
        return (
          <label key={id} className={styles.suspect} data-chosen={i === chosen}>
            <input type="radio" name={name} checked={i === chosen} onChange={() => onChoose(i)} />
            <span className={styles.percent}>{formatProbability(probability)}</span>
            <ShareBar share={probability} />
            <span className={styles.words}>
              {words}
              {found !== null && expected !== null && (
                <small>
                  expected {expected}, found {found}
                </small>
              )}
            </span>
          </label>
        )
      })}
      <p className={styles.none}>
        <span className={styles.percent}>{formatProbability(diagnosis.noneProbability)}</span>
        <ShareBar share={diagnosis.noneProbability} />
        <span className={styles.words}>None of these</span>
      </p>
    </fieldset>
  )
}

/** A share as a bar beside its number. */
const ShareBar = ({ share }: { share: number }) => (
  <svg aria-hidden="true" viewBox="0 0 100 10" preserveAspectRatio="none" className={styles.bar}>
    <rect width={100 * share} height="10" />
  </svg>
)
