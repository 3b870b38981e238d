import type { Product } from '@boardwright/core'
import type { RigDriver } from '@boardwright/core/audio'
import type { Workshop } from '@boardwright/core/workshop'
import { useCallback, useEffect, useRef, useState } from 'react'
import { problemOf, type SessionProblem } from '../session/problem-of.ts'
import { type FinishedTest, runTest } from '../session/run-test.ts'
import type { SettingProgress } from '../session/setting-progress.ts'
import type { RunAnswer, RunQuestion } from '../session/test-request.ts'
import { useQuestion } from './use-question.ts'

type SessionPhase =
  | { kind: 'ready' }
  | { kind: 'running'; serial: string; settings: SettingProgress[] }
  | { kind: 'verdict'; finished: FinishedTest }
  | { kind: 'problem'; serial: string; problem: SessionProblem }

export interface TestSession {
  phase: SessionPhase
  start: (serial: string) => void
  /** What the run waits for somebody to say. */
  question: RunQuestion | undefined
  /** Answers it. */
  answer: (answer: RunAnswer) => void
  /** Stops a run that is under way; nothing is stored. */
  stop: () => void
  /** Back to choosing a unit. */
  reset: () => void
}

/** One test at a time: runs it, follows it, stops it when asked or when the bench is left. */
export function useTestSession(bench: { workshop: Workshop; rig: RigDriver; product: Product }): TestSession {
  const { workshop, rig, product } = bench
  const [phase, setPhase] = useState<SessionPhase>({ kind: 'ready' })
  const running = useRef<AbortController | undefined>(undefined)
  const { question, ask, answer } = useQuestion<RunQuestion, RunAnswer>()
  useEffect(() => () => running.current?.abort(), [])

  const start = useCallback(
    (serial: string) => {
      if (running.current) return
      const controller = new AbortController()
      running.current = controller
      setPhase({ kind: 'running', serial, settings: [] })
      runTest({
        workshop,
        rig,
        product,
        serial,
        signal: controller.signal,
        ask: (question) => ask(question, controller.signal),
        onProgress: (settings) => !controller.signal.aborted && setPhase({ kind: 'running', serial, settings }),
      })
        .then(
          (finished) => setPhase({ kind: 'verdict', finished }),
          (error) =>
            setPhase(
              controller.signal.aborted ? { kind: 'ready' } : { kind: 'problem', serial, problem: problemOf(error) },
            ),
        )
        .finally(() => {
          running.current = undefined
        })
    },
    [workshop, rig, product, ask],
  )
  const stop = useCallback(() => running.current?.abort(), [])
  const reset = useCallback(() => setPhase({ kind: 'ready' }), [])
  return { phase, question, start, answer, stop, reset }
}
