import { reworkRounds, roundWords, type TestRun } from '@boardwright/core'
import { useEffect, useMemo, useState } from 'react'
import type { Bench } from '../bench.ts'

/** What a run tells about the rework before it: "C7 was it", or that it still fails; undefined when there was none. */
export function useReworkOutcome({ workshop, diagnosing }: Bench, { id, serial }: TestRun): string | undefined {
  const round = useMemo(
    () => reworkRounds(workshop.unit(serial)).find(({ decidedBy }) => decidedBy?.id === id),
    [workshop, serial, id],
  )
  const [suspects, setSuspects] = useState<string[][]>()
  useEffect(() => {
    if (!round?.afterRunId || round.diagnosisId === null) return
    let shown = true
    // Without the suspects of the time it is still told whether the rework was it.
    diagnosing.show(round.afterRunId).then(
      ({ diagnosis }) => shown && setSuspects(diagnosis.suspects.map(({ designators }) => designators)),
      () => {},
    )
    return () => {
      shown = false
    }
  }, [diagnosing, round])
  return round && roundWords(round, { suspects })
}
