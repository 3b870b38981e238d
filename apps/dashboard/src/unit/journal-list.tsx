import { formatWhen, journalWords } from '@boardwright/core'
import type { UnitDetail } from '@boardwright/core/contract'
import styles from './unit-history.module.css'

/** What happened to the unit, newest first: the journal's entries about it. */
export function JournalList({ entries }: { entries: UnitDetail['history'] }) {
  if (entries.length === 0) return null
  return (
    <section aria-labelledby="journal" className={styles.block}>
      <h2 id="journal">Journal of the unit</h2>
      <ol className={styles.journal}>
        {entries.map((entry) => (
          <li key={entry.seq}>
            <time dateTime={entry.at}>{formatWhen(entry.at)}</time>
            <span>
              {journalWords(entry)}, at {entry.station}
            </span>
            <Detail detail={entry.detail} />
          </li>
        ))}
      </ol>
    </section>
  )
}

/** The plain values of an entry; what is nested, and ids, are for machines. */
function Detail({ detail }: { detail: Record<string, unknown> }) {
  const plain = Object.entries(detail).filter(
    ([key, value]) => value !== '' && ['string', 'number', 'boolean'].includes(typeof value) && !/(Id|Hash)$/.test(key),
  )
  if (plain.length === 0) return null
  return <span className={styles.detail}>{plain.map(([key, value]) => `${wordsOf(key)} ${value}`).join(', ')}</span>
}

const wordsOf = (key: string): string => key.replace(/[A-Z]/g, (letter) => ` ${letter.toLowerCase()}`)
