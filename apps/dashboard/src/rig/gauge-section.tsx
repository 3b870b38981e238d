import { formatDb, formatWhen, type GaugeStudy } from '@boardwright/core'
import type { Reply } from '../api/client.ts'
import { ProblemSlip } from '../frame/problem.tsx'
import { GaugeResultTable } from './gauge-result-table.tsx'
import styles from './rig.module.css'
import { useAcceptGaugeStudy, useGaugeStudies, useGaugeStudy } from './rig-queries.ts'
import { rigNames } from './rig-words.ts'

/** How well the rig repeats: studies, the last result, and what the judge counts with. */
export function GaugeSection() {
  const { data, error } = useGaugeStudies()
  const last = data?.studies.find(({ state }) => state === 'complete')
  const underWay = data?.studies.filter(({ state }) => state === 'running') ?? []
  return (
    <section aria-labelledby="gauge" className={styles.block}>
      <h2 id="gauge">How well the rig repeats</h2>
      {error && <ProblemSlip error={error} />}
      {data && <InForce {...data} />}
      {underWay.map((study) => (
        <p key={study.id}>
          Gauge study {study.id} is under way: {study.readings} of {study.wanted} readings. The bench leads on with it.
        </p>
      ))}
      {data?.studies.length === 0 && (
        <p>No gauge study yet. The bench leads through one: rig check, then gauge study.</p>
      )}
      {last && data && <LastStudy study={last} inForce={data.inForce} />}
    </section>
  )
}

type Studies = Reply<'gaugeStudies'>

function InForce({ inForce, planUncertaintyDb }: Studies) {
  const known = inForce.flatMap(({ rig, uncertainty }) => (uncertainty ? [{ rig, uncertainty }] : []))
  const three = (db: number) => formatDb(db, { digits: 3 })
  return (
    <>
      {known.map(({ rig, uncertainty }) => (
        <p key={rig} data-in-force={rig}>
          {rigNames[rig]}: the judge counts with {three(uncertainty.rigUncertaintyDb)}, from {uncertainty.source}.
        </p>
      ))}
      {known.length < inForce.length && (
        <p>
          {known.length > 0 ? 'Elsewhere' : 'The judge counts with'} {three(planUncertaintyDb)}, from the test plan.
        </p>
      )}
    </>
  )
}

function LastStudy({ study, inForce }: { study: GaugeStudy; inForce: Studies['inForce'] }) {
  const { data } = useGaugeStudy(study.id)
  const accept = useAcceptGaugeStudy()
  const isInForce = inForce.some(({ uncertainty }) => uncertainty?.studyId === study.id)
  return (
    <div data-study={study.id}>
      <h3>
        Study {study.id}, {formatWhen(study.startedAt)}: {study.serials.length} boards, {study.setUps} set-ups,{' '}
        {study.repeats} repeats
      </h3>
      {study.note && <p>{study.note}</p>}
      {data?.result && (
        <>
          <ul className={styles.words}>
            {data.result.words.map((sentence) => (
              <li key={sentence}>{sentence}</li>
            ))}
          </ul>
          <GaugeResultTable result={data.result} />
        </>
      )}
      {!isInForce && (
        <button type="button" disabled={accept.isPending} onClick={() => accept.mutate(study.id)}>
          Let the judge count with this study
        </button>
      )}
      {accept.isError && <ProblemSlip error={accept.error} />}
    </div>
  )
}
