import { Loading } from '../frame/loading.tsx'
import { PageTitle } from '../frame/page-title.tsx'
import { ProblemSlip } from '../frame/problem.tsx'
import { Sheet } from '../frame/sheet.tsx'
import { ChecksTable } from './checks-table.tsx'
import { GaugeSection } from './gauge-section.tsx'
import { RetestSection } from './retest-section.tsx'
import { useRigChecks } from './rig-queries.ts'
import { RigStandingSection } from './rig-standing.tsx'

/** Whether the rig can be trusted: its checks and drift, the units in doubt, and how well it repeats. */
export function RigPage() {
  const { data, isPending, isError, error, refetch } = useRigChecks()
  return (
    <Sheet>
      <PageTitle title="Rig">Rig</PageTitle>
      {isError && <ProblemSlip error={error} onRetry={() => void refetch()} />}
      {isPending && <Loading what="the rig checks" />}
      {data && (
        <>
          {data.rigs.length === 0 && (
            <p>
              No rig was used yet. At the bench, the key c measures the reference board and shows whether the rig is as
              it was.
            </p>
          )}
          {data.rigs.map((standing) => (
            <RigStandingSection key={standing.rig} {...standing} />
          ))}
          <RetestSection retest={data.retest} />
          <ChecksTable checks={data.checks} />
        </>
      )}
      <GaugeSection />
    </Sheet>
  )
}
