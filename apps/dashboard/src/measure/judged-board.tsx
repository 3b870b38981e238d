import type { AddedTestRun } from '@boardwright/core/contract'
import { useEffect, useRef } from 'react'
import { Link } from 'wouter'
import { ReasonList } from '../unit/reason-list.tsx'
import { VerdictStamp } from '../verdict/verdict-stamp.tsx'
import { verdictWords } from '../verdict/verdict-words.ts'
import styles from './measure-page.module.css'

/** The verdict on the board that was just measured, and the way on. */
export function JudgedBoard({ result, onNext }: { result: AddedTestRun; onNext: () => void }) {
  const { run, unit, newUnit } = result
  const place = useRef<HTMLElement>(null)
  useEffect(() => place.current?.focus(), [])
  return (
    <section ref={place} tabIndex={-1} aria-label={`Verdict on ${run.serial}`} className={styles.judged}>
      <VerdictStamp verdict={run.verdict} />
      <div>
        <p className={styles.sentence}>{verdictWords[run.verdict].sentence}</p>
        <ReasonList reasons={run.judgement.reasons} />
        <p>
          {newUnit && 'This serial number was not known before: it is now a new unit. '}
          Stored under <Link href={`/units/${encodeURIComponent(run.serial)}`}>{run.serial}</Link>, which is now{' '}
          <strong>{unit.state}</strong>.
        </p>
        <button type="button" className={styles.main} onClick={onNext}>
          Next board
        </button>
      </div>
    </section>
  )
}
