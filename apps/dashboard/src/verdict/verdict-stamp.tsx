import type { Verdict } from '@boardwright/core'
import { VerdictMark } from './verdict-mark.tsx'
import styles from './verdict-stamp.module.css'

/** The verdict as a rubber stamp on the sheet, to be read from across the bench. */
export const VerdictStamp = ({ verdict }: { verdict: Verdict }) => (
  <p className={styles.stamp} data-verdict={verdict}>
    <VerdictMark verdict={verdict} bare />
    <span>{verdict}</span>
  </p>
)
