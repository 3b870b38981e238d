import { type DiagnosisFigures, formatPercent, type HitRate } from '@boardwright/core'
import { useDiagnosisFigures } from '../api/queries.ts'
import styles from './diagnosis.module.css'

/** How often the suspects were right in this workshop, with what the count allows to say. */
export function HitRateFigure() {
  const { data } = useDiagnosisFigures()
  if (!data) return null
  const { first, firstThree, waiting } = data
  return (
    <section aria-label="How often suspects were right" className={styles.hitRate}>
      <h3>How often they were right</h3>
      {first.cases === 0 ? (
        <p>Nothing is known yet: no board was diagnosed, reworked and tested again.</p>
      ) : (
        <>
          <Rate what="The first suspect" rate={first} figures={data} />
          <Rate what="One of the first three" rate={firstThree} figures={data} />
        </>
      )}
      {waiting > 0 && (
        <p>{waiting === 1 ? '1 reworked board waits' : `${waiting} reworked boards wait`} for its test.</p>
      )}
    </section>
  )
}

const share = (value: number) => formatPercent(100 * value)

function Rate({ what, rate, figures }: { what: string; rate: HitRate; figures: DiagnosisFigures }) {
  if (rate.rate === null) return null
  return (
    <p>
      {what} was right on{' '}
      <strong>
        {rate.hits} of {rate.cases}
      </strong>{' '}
      {rate.cases === 1 ? 'board' : 'boards'}: {share(rate.rate)} ({share(figures.confidence)} limits{' '}
      {share(rate.lower)} to {share(rate.upper)})
      <svg aria-hidden="true" viewBox="0 0 100 10" preserveAspectRatio="none" className={styles.limits}>
        <path d="M0 5H100" className={styles.scale} />
        <rect x={100 * rate.lower} y="3" width={100 * (rate.upper - rate.lower)} height="4" />
        <path d={`M${100 * rate.rate} 0V10`} className={styles.estimate} />
      </svg>
    </p>
  )
}
