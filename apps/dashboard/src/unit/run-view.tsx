import type { Product } from '@boardwright/core'
import { formatWhen } from '@boardwright/core'
import type { TestRunDetail } from '@boardwright/core/contract'
import { Link } from 'wouter'
import { useProducts, useTestRun } from '../api/queries.ts'
import { Loading } from '../frame/loading.tsx'
import { ProblemSlip } from '../frame/problem.tsx'
import { VerdictStamp } from '../verdict/verdict-stamp.tsx'
import { verdictWords } from '../verdict/verdict-words.ts'
import { MirrorSection } from './mirror-section.tsx'
import { ReasonList } from './reason-list.tsx'
import { SettingSection } from './setting-section.tsx'
import styles from './unit-page.module.css'

const rigWords: Record<TestRunDetail['run']['rig'], string> = {
  'wave-files': 'from WAV files',
  simulated: 'on the simulated rig',
  'sound-interface': 'on the rig',
  upload: 'from recordings sent to the desk',
}

/** One test run: verdict and reasons in words, then every setting with its curves. */
export function RunView({ id, newestId }: { id: string; newestId: string | undefined }) {
  const { data, error, isPending, refetch } = useTestRun(id)
  const products = useProducts()
  if (isPending) return <Loading what="the test run" />
  if (!data) return <ProblemSlip error={error} onRetry={() => void refetch()} />
  const { run, reference } = data
  const product = products.data?.products.find((candidate) => candidate.id === run.productId)
  return (
    <>
      <section aria-label="Verdict" className={styles.verdict} data-verdict={run.verdict}>
        <VerdictStamp verdict={run.verdict} />
        <div>
          <p className={styles.sentence}>{verdictWords[run.verdict].sentence}</p>
          <ReasonList reasons={run.judgement.reasons} />
          <p className={styles.circumstances}>
            Tested <time dateTime={run.startedAt}>{formatWhen(run.startedAt)}</time> at {run.station},{' '}
            {rigWords[run.rig]}; judged by version {run.referenceVersion} of the reference.
          </p>
          {newestId && newestId !== run.id && (
            <p className={styles.older}>
              This is an earlier test run.{' '}
              <Link href={`/units/${encodeURIComponent(run.serial)}`}>Show the newest</Link>
            </p>
          )}
        </div>
      </section>
      {gravestFirst(run).map((measurement) => (
        <SettingSection
          key={measurement.setting}
          serial={run.serial}
          measurement={measurement}
          judgement={run.judgement.settings.find(({ setting }) => setting === measurement.setting)}
          reference={reference.settings.find(({ setting }) => setting === measurement.setting)}
          label={settingLabel(product, measurement.setting)}
          judgedAligned={bandCompare(product, measurement.setting) === 'aligned'}
        />
      ))}
      {run.judgement.mirror && <MirrorSection mirror={run.judgement.mirror} />}
    </>
  )
}

const gravity = { fail: 0, repeat: 1, pass: 2 } as const

/** What fails is looked at first, in the order of the reasons; the rest stays in the order it was measured. */
function gravestFirst({ measurements, judgement }: TestRunDetail['run']) {
  const rank = (name: string) => gravity[judgement.settings.find(({ setting }) => setting === name)?.verdict ?? 'pass']
  return [...measurements].sort((a, b) => rank(a.setting) - rank(b.setting))
}

const settingLabel = (product: Product | undefined, name: string): string | undefined =>
  product?.settings.find((setting) => setting.name === name)?.label

const bandCompare = (product: Product | undefined, name: string) =>
  product?.testPlan.bands.find((band) => band.setting === name)?.compare
