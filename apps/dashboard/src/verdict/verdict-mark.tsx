import type { Verdict } from '@boardwright/core'
import styles from './verdict-mark.module.css'

// Each verdict has its own outline, so that it is told apart without colour and without reading.
const shapes: Record<Verdict, { outline: string; sign: string }> = {
  pass: { outline: 'M12 2a10 10 0 1 0 .01 0Z', sign: 'm7 12.5 3.5 3.5L17 8.5' },
  fail: { outline: 'M3 3h18v18H3Z', sign: 'm7.5 7.5 9 9m0-9-9 9' },
  repeat: { outline: 'M19.6 8.4A8.6 8.6 0 1 0 20.6 13', sign: 'M20.4 3.2v5.6h-5.6' },
}

/** The verdict as a mark and its word; `bare` leaves the word to the text beside it. */
export const VerdictMark = ({ verdict, bare = false }: { verdict: Verdict; bare?: boolean }) => (
  <span className={styles.mark} data-verdict={verdict}>
    <svg aria-hidden="true" viewBox="0 0 24 24" width="24" height="24">
      <path d={shapes[verdict].outline} className={styles.outline} />
      <path d={shapes[verdict].sign} className={styles.sign} />
    </svg>
    {!bare && <span>{verdict}</span>}
  </span>
)
