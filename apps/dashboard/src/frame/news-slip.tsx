import { Link } from 'wouter'
import { VerdictMark } from '../verdict/verdict-mark.tsx'
import { verdictWords } from '../verdict/verdict-words.ts'
import { useLive } from './live-context.ts'
import styles from './news-slip.module.css'

/** Says politely that a test run came in: seen at the foot of the page, spoken when the reader has finished. */
export function NewsSlip() {
  const { news, dismiss } = useLive()
  return (
    <div role="status" aria-live="polite" className={styles.place}>
      {news && (
        <div className={styles.slip} key={news.id}>
          <VerdictMark verdict={news.verdict} bare />
          <p>
            <Link href={`/units/${news.serial}`} onClick={dismiss}>
              {news.serial}
            </Link>{' '}
            was tested at {news.station}: {verdictWords[news.verdict].short}.
          </p>
          <button type="button" onClick={dismiss}>
            Put away
          </button>
        </div>
      )}
    </div>
  )
}
