import type { RunDiagnosis } from '@boardwright/core'
import type { DiagnoseRun } from '@boardwright/core/workshop'
import { useCallback, useEffect, useRef, useState } from 'react'
import type { Diagnosing } from '../bench.ts'
import { problemOf, type SessionProblem } from '../session/problem-of.ts'

export interface DiagnosisState {
  /** What is known so far; stays on the screen while more is worked out. */
  known?: RunDiagnosis
  working: boolean
  problem?: SessionProblem
}

/** The suspects of a run, and the way to tell more about it. What comes after the screen was left is dropped. */
export function useDiagnosis(diagnosing: Diagnosing, runId: string) {
  const [state, setState] = useState<DiagnosisState>({ working: true })
  const shown = useRef(true)

  const follow = useCallback(async (work: Promise<RunDiagnosis>) => {
    setState(({ known }) => ({ known, working: true }))
    try {
      const known = await work
      if (shown.current) setState({ known, working: false })
      return known
    } catch (error) {
      if (shown.current) setState(({ known }) => ({ known, working: false, problem: problemOf(error) }))
      return undefined
    }
  }, [])

  useEffect(() => {
    shown.current = true
    void follow(diagnosing.show(runId))
    return () => {
      shown.current = false
    }
  }, [diagnosing, runId, follow])

  const ask = useCallback(
    (more: Omit<DiagnoseRun, 'runId' | 'serial'>) => follow(diagnosing.ask({ runId, ...more })),
    [diagnosing, runId, follow],
  )
  return { ...state, ask }
}
