import type { ReworkAction, RunDiagnosis } from '@boardwright/core'
import { useState } from 'react'
import type { Bench } from '../bench.ts'
import { problemOf, type SessionProblem } from '../session/problem-of.ts'

export interface ReworkForm {
  designator: string
  action: ReworkAction
  part: string
  lot: string
  note: string
  finished: boolean
}

const filled = (text: string): string | undefined => text.trim() || undefined

/** Records a rework of the unit of a diagnosed run. */
export function useRework(bench: Bench, { id, runId, serial }: RunDiagnosis) {
  const [problem, setProblem] = useState<SessionProblem>()
  const [done, setDone] = useState<{ designator: string; state: string }>()
  const [busy, setBusy] = useState(false)
  const record = async ({ designator, part, lot, note, ...form }: ReworkForm) => {
    if (busy) return
    setBusy(true)
    setProblem(undefined)
    try {
      // Kept first: whether the suspicion was right is counted against what the maker was told.
      if (id === null) await bench.diagnosing.ask({ runId })
      const what = { serial, designator, part: filled(part), lot: filled(lot), note: filled(note), ...form }
      const { unit } = bench.workshop.recordRework(what)
      setDone({ designator, state: unit.state })
    } catch (error) {
      setProblem(problemOf(error))
    }
    setBusy(false)
  }
  return { record, done, problem }
}
