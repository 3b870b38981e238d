import { formatDb, formatWhen, type RigCheckSummary } from '@boardwright/core'
import { useState } from 'react'
import styles from './rig.module.css'
import { outcomeMarks, rigNames } from './rig-words.ts'

const atFirst = 20
const twoDigits = (db: number | null): string => (db === null ? '–' : formatDb(db, { digits: 2, signed: true }))

/** Every check, newest first. */
export function ChecksTable({ checks }: { checks: readonly RigCheckSummary[] }) {
  const [all, setAll] = useState(false)
  if (checks.length === 0) return null
  const shown = all ? checks : checks.slice(0, atFirst)
  return (
    <section aria-labelledby="checks" className={styles.block}>
      <h2 id="checks">Checks</h2>
      {/* Scrolls by itself, so it must take the focus to be scrolled by keys. */}
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: see the line above */}
      {/* biome-ignore lint/a11y/useSemanticElements: a section would be one landmark more, a fieldset is for inputs */}
      <div role="group" aria-label="Checks, table" tabIndex={0} className={styles.scroll}>
        <table>
          <thead>
            <tr>
              {['When', 'Rig', 'Outcome', 'Level', 'Curves', 'Why'].map((head) => (
                <th scope="col" key={head}>
                  {head}
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {shown.map((check) => (
              <tr key={check.id} data-check={check.id}>
                <th scope="row" className={styles.number}>
                  {formatWhen(check.at)}
                </th>
                <td>{rigNames[check.rig === 'simulated' || check.rig === 'sound-interface' ? check.rig : 'files']}</td>
                <td className={styles.number}>
                  <span aria-hidden="true">{outcomeMarks[check.outcome].sign} </span>
                  <span>{outcomeMarks[check.outcome].word}</span>
                </td>
                <td className={styles.number}>{twoDigits(check.levelDb)}</td>
                <td className={styles.number}>{twoDigits(check.shapeDb).replace('+', '')}</td>
                <td className={styles.why}>{check.reasons.join(' ')}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
      {shown.length < checks.length && (
        <button type="button" onClick={() => setAll(true)}>
          Show all {checks.length} checks
        </button>
      )}
    </section>
  )
}
