import { Link } from 'wouter'
import { useHistoryState } from 'wouter/use-browser-location'
import { useProducts, useUnit } from '../api/queries.ts'
import { ReworkHistory } from '../diagnosis/rework-history.tsx'
import { Loading } from '../frame/loading.tsx'
import { PageTitle } from '../frame/page-title.tsx'
import { ProblemSlip } from '../frame/problem.tsx'
import { Sheet } from '../frame/sheet.tsx'
import { HardSection } from '../hard/hard-section.tsx'
import { JournalList } from './journal-list.tsx'
import { RunHistory } from './run-history.tsx'
import { RunView } from './run-view.tsx'
import styles from './unit-page.module.css'

/** One unit: the verdict of a test run with its curves, the runs to choose from, and what happened to the unit. */
export function UnitPage({ serial, runId }: { serial: string; runId?: string }) {
  const { data, error, isPending, refetch } = useUnit(serial)
  const products = useProducts()
  const arrival = useHistoryState<{ newUnit?: boolean } | null>()
  if (isPending)
    return (
      <Sheet>
        <PageTitle title={serial}>{serial}</PageTitle>
        <Loading what="the unit" />
      </Sheet>
    )
  if (!data)
    return (
      <Sheet>
        <PageTitle title={serial}>{serial}</PageTitle>
        <ProblemSlip error={error} onRetry={() => void refetch()} />
        <p>
          <Link href="/">Back to the units</Link>
        </p>
      </Sheet>
    )
  const product = products.data?.products.find(({ id }) => id === data.unit.productId)
  const shown = runId ?? data.runs[0]?.id
  return (
    <Sheet>
      <header className={styles.head}>
        <PageTitle title={data.unit.serial}>{data.unit.serial}</PageTitle>
        <p>
          {product?.name ?? data.unit.productId}, revision {data.unit.revision}. State:{' '}
          <strong>{data.unit.state}</strong>
        </p>
        <Link className={styles.testLink} href={`/measure?unit=${encodeURIComponent(data.unit.serial)}`}>
          Measure
        </Link>
        <Link href={`/test?unit=${encodeURIComponent(data.unit.serial)}`}>Test from recordings</Link>
      </header>
      {arrival?.newUnit && (
        <p role="status" className={styles.newUnit}>
          This serial number was not known before: it is now a new unit. If that is a slip, test the board again under
          the number on its label.
        </p>
      )}
      {error && <ProblemSlip error={error} onRetry={() => void refetch()} />}
      {shown ? (
        <RunView key={shown} id={shown} detail={data} />
      ) : (
        <p className={styles.untested}>This unit has not been tested yet.</p>
      )}
      <HardSection serial={data.unit.serial} />
      <ReworkHistory detail={data} />
      <RunHistory runs={data.runs} shown={shown} serial={data.unit.serial} />
      <JournalList entries={data.history} />
    </Sheet>
  )
}
