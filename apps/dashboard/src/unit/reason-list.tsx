import type { Reason } from '@boardwright/core'
import { VerdictMark } from '../verdict/verdict-mark.tsx'
import styles from './reason-list.module.css'

/** The reasons of a verdict in words, gravest first as they come. */
export const ReasonList = ({ reasons }: { reasons: readonly Reason[] }) => (
  <ul className={styles.reasons} aria-label="Reasons">
    {reasons.map((reason) => (
      <li key={reason.code + reason.message}>
        <VerdictMark verdict={reason.verdict} bare />
        <span>{reason.message}</span>
      </li>
    ))}
  </ul>
)
