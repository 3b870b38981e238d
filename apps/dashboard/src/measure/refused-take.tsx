import { FindingsList } from '../unit/findings-list.tsx'
import styles from './measure-page.module.css'
import type { Take } from './take/take.ts'

/** A recording that the checks refuse: why, and what can be done with it. */
export const RefusedTake = ({ take, onKeep }: { take: Take; onKeep: () => void }) => (
  <section aria-label="Recording refused" className={styles.refused}>
    <FindingsList findings={take.check.findings} />
    {take.played > 1 && <p>The sweep was played {take.played} times.</p>}
    <p>
      Record again below, or{' '}
      <button type="button" onClick={onKeep}>
        go on with this recording
      </button>{' '}
      when the board itself is the reason; the judge then asks for a repeat.
    </p>
  </section>
)
