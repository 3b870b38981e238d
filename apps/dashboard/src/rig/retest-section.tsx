import { formatWhen, type RetestItem } from '@boardwright/core'
import { Link } from 'wouter'
import { ProblemSlip } from '../frame/problem.tsx'
import { VerdictMark } from '../verdict/verdict-mark.tsx'
import styles from './rig.module.css'
import { useTakeBack } from './rig-queries.ts'
import { retestWords } from './rig-words.ts'

/** Units whose last test stands on a rig that was found drifted afterwards. */
export function RetestSection({ retest }: { retest: readonly RetestItem[] }) {
  const takeBack = useTakeBack()
  const onShelf = retest.filter(({ action }) => action === 'take-back').map(({ serial }) => serial)
  return (
    <section aria-labelledby="retest" className={styles.block}>
      <h2 id="retest">To be tested again</h2>
      {retest.length === 0 && <p>No unit stands on a rig in doubt.</p>}
      <ul className={styles.list}>
        {retest.map((item) => (
          <li key={item.serial} data-serial={item.serial}>
            <Link href={`/units/${encodeURIComponent(item.serial)}`}>{item.serial}</Link>
            <span>{item.state}</span>
            <span>
              <VerdictMark verdict={item.verdict} /> of {formatWhen(item.testedAt)}
            </span>
            <strong>{retestWords[item.action]}</strong>
          </li>
        ))}
      </ul>
      {onShelf.length > 0 && (
        <button type="button" disabled={takeBack.isPending} onClick={() => takeBack.mutate(onShelf)}>
          Take {onShelf.length === 1 ? 'this unit' : `these ${onShelf.length} units`} back from the shelf
        </button>
      )}
      {takeBack.isError && <ProblemSlip error={takeBack.error} />}
    </section>
  )
}
