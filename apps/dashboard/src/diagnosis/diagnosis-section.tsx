import { type Product, type RunDiagnosis, reworkableStates, suspectMarks, type Unit } from '@boardwright/core'
import type { UseQueryResult } from '@tanstack/react-query'
import { useAddDiagnosis } from '../api/queries.ts'
import { Loading } from '../frame/loading.tsx'
import { ProblemSlip } from '../frame/problem.tsx'
import { BoardSvg } from './board-svg.tsx'
import styles from './diagnosis.module.css'
import { EvidenceForm } from './evidence-form.tsx'
import { EvidenceList } from './evidence-list.tsx'
import { HitRateFigure } from './hit-rate-figure.tsx'
import { NextChecks } from './next-checks.tsx'
import { ReworkForm } from './rework-form.tsx'
import { SuspectChoice } from './suspect-choice.tsx'

interface SectionProps {
  asked: UseQueryResult<RunDiagnosis>
  runId: string
  unit: Unit
  product: Product
  chosen: number
  onChoose: (index: number) => void
}

/** What is probably wrong with a failed board, where it sits, what to check next, and the rework. */
export function DiagnosisSection(props: SectionProps) {
  const { asked } = props
  return (
    <section className={styles.section} data-waits={asked.isPending} aria-labelledby="suspects">
      <h2 id="suspects">What is probably wrong</h2>
      {asked.isPending && <Loading what="the suspects" />}
      {asked.isError && <ProblemSlip error={asked.error} onRetry={() => void asked.refetch()} />}
      {asked.data && <Known {...props} known={asked.data} />}
    </section>
  )
}

function Known({ known, runId, unit, product, chosen, onChoose }: SectionProps & { known: RunDiagnosis }) {
  const add = useAddDiagnosis(runId)
  const { diagnosis, evidence } = known
  const suspect = diagnosis.suspects[chosen]
  const marks = suspect ? suspectMarks(suspect) : { lit: [], also: [], nodes: [] }
  const tell = (body: Parameters<typeof add.mutate>[0]) => add.mutate(body, { onSuccess: () => onChoose(0) })
  const canRework = reworkableStates.includes(unit.state) && unit.lastRunId === runId
  return (
    <>
      <p className={styles.summary} role="status">
        {diagnosis.words}
      </p>
      {diagnosis.rigFault && <p className={styles.rig}>Look at the pins of the rig before you touch the board.</p>}
      <div className={styles.columns}>
        <div>
          <SuspectChoice diagnosis={diagnosis} chosen={chosen} onChoose={onChoose} />
          <p className={styles.weighed}>
            {diagnosis.hypothesisCount} explanations were weighed. The chosen one is drawn in the charts below
            {product.board ? ' and marked on the board' : ''}.
          </p>
        </div>
        {product.board && (
          <div className={styles.boards}>
            <BoardSvg board={product.board} side="top" marks={marks} />
            <BoardSvg board={product.board} side="bottom" marks={marks} />
          </div>
        )}
        <div className={styles.next}>
          <NextChecks checks={diagnosis.nextChecks} />
          <EvidenceList evidence={evidence} busy={add.isPending} onAfresh={() => tell({ afresh: true })} />
          <details className={styles.details}>
            <summary>Tell what was measured by hand</summary>
            <EvidenceForm
              key={known.at}
              checks={diagnosis.nextChecks}
              circuit={product.circuit}
              busy={add.isPending}
              error={add.error}
              onTell={tell}
            />
          </details>
          {canRework && (
            <details className={styles.details}>
              <summary>Record a rework</summary>
              <ReworkForm unit={unit} product={product} diagnosis={known} suspected={suspect?.designators ?? []} />
            </details>
          )}
          <HitRateFigure />
        </div>
      </div>
    </>
  )
}
