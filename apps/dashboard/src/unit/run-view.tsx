import type { Product, RunDiagnosis } from '@boardwright/core'
import { formatWhen } from '@boardwright/core'
import type { TestRunDetail, UnitDetail } from '@boardwright/core/contract'
import { useMemo, useState } from 'react'
import { Link } from 'wouter'
import { useProducts, useRunDiagnosis, useTestRun } from '../api/queries.ts'
import { DiagnosisSection } from '../diagnosis/diagnosis-section.tsx'
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
export function RunView({ id, detail }: { id: string; detail: UnitDetail }) {
  const { data, error, isPending, refetch } = useTestRun(id)
  const products = useProducts()
  const failed = data?.run.verdict === 'fail'
  const asked = useRunDiagnosis(id, { enabled: failed })
  const [chosen, setChosen] = useState(0)
  const predictedAt = usePrediction(failed, asked.data, chosen)
  if (isPending) return <Loading what="the test run" />
  if (!data) return <ProblemSlip error={error} onRetry={() => void refetch()} />
  const { run, reference } = data
  const newestId = detail.runs[0]?.id
  const product = products.data?.products.find((candidate) => candidate.id === run.productId)
  // The board of another revision would show the wrong place.
  const drawn = product && product.revision !== run.revision ? { ...product, board: undefined } : product
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
      {failed && drawn && (
        <DiagnosisSection {...{ asked, chosen }} product={drawn} runId={id} unit={detail.unit} onChoose={setChosen} />
      )}
      {gravestFirst(run).map((measurement) => (
        <SettingSection
          key={measurement.setting}
          serial={run.serial}
          measurement={measurement}
          judgement={run.judgement.settings.find(({ setting }) => setting === measurement.setting)}
          reference={reference.settings.find(({ setting }) => setting === measurement.setting)}
          label={settingLabel(product, measurement.setting)}
          judgedAligned={bandCompare(product, measurement.setting) === 'aligned'}
          predicted={predictedAt(measurement.setting)}
        />
      ))}
      {run.judgement.mirror && <MirrorSection mirror={run.judgement.mirror} />}
    </>
  )
}

/** The curve of the chosen suspect at a setting: undefined where nothing is suspected, null where it is not known. */
function usePrediction(failed: boolean, known: RunDiagnosis | undefined, chosen: number) {
  const suspect = known?.diagnosis.suspects[chosen]
  const bySetting = useMemo(() => {
    const name = suspect?.suspicions[0].designators.join(' and ') || 'so'
    return new Map(suspect?.curves.map((curve) => [curve.setting, { curve, name }]))
  }, [suspect])
  return (setting: string) => (failed ? (bySetting.get(setting) ?? null) : undefined)
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
