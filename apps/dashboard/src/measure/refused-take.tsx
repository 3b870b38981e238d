import { type Finding, hasLostBlock } from '@boardwright/core'
import { FindingsList } from '../unit/findings-list.tsx'
import styles from './measure-page.module.css'
import type { Take } from './take/take.ts'

/** True when the computer spoilt the recording, whatever the board is like: nothing can be judged by it. */
const isSpoilt = (findings: readonly Finding[]): boolean =>
  hasLostBlock(findings) || findings.some(({ code }) => code === 'wrong-rate')

/** A recording that the checks refuse: why, and what can be done with it. */
export function RefusedTake({ take, onKeep }: { take: Take; onKeep: () => void }) {
  const { findings } = take.check
  return (
    <section aria-label="Recording refused" className={styles.refused}>
      <FindingsList findings={findings} />
      {take.played > 1 && <p>The sweep was played {take.played} times.</p>}
      {isSpoilt(findings) ? (
        <p>The recording does not count. Record again below.</p>
      ) : (
        <p>
          Record again below, or{' '}
          <button type="button" onClick={onKeep}>
            go on with this recording
          </button>{' '}
          when the board itself is the reason; the judge then asks for a repeat.
        </p>
      )}
    </section>
  )
}
