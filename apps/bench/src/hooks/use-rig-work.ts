import { useCallback, useEffect, useRef, useState } from 'react'
import type { Bench } from '../bench.ts'
import { problemOf, type SessionProblem } from '../session/problem-of.ts'
import type { RigWork } from '../session/run-rig-check.ts'
import type { SettingProgress } from '../session/setting-progress.ts'
import type { RunAnswer, RunQuestion } from '../session/test-request.ts'

export type RigWorkPhase<T> =
  | { kind: 'idle' }
  | { kind: 'running'; settings: SettingProgress[]; question?: RunQuestion }
  | { kind: 'done'; result: T }
  | { kind: 'problem'; problem: SessionProblem }

export interface RigWorking<T> {
  phase: RigWorkPhase<T>
  start: (work: (request: RigWork) => Promise<T>) => void
  /** Answers what the work asks. */
  answer: (answer: RunAnswer) => void
  /** Stops what is under way; nothing is stored. */
  stop: () => void
  reset: () => void
}

/** One work on the rig at a time that is no test: runs it, follows it, stops it when asked or when the screen is left. */
export function useRigWork<T>({ workshop, rig, product }: Pick<Bench, 'workshop' | 'rig' | 'product'>): RigWorking<T> {
  const [phase, setPhase] = useState<RigWorkPhase<T>>({ kind: 'idle' })
  const running = useRef<AbortController | undefined>(undefined)
  const asked = useRef<((answer: RunAnswer) => void) | undefined>(undefined)
  useEffect(() => () => running.current?.abort(), [])

  const ask = useCallback((question: RunQuestion, signal: AbortSignal) => {
    const put = (open: RunQuestion | undefined) =>
      setPhase((now) => (now.kind === 'running' ? { ...now, question: open } : now))
    return new Promise<RunAnswer>((resolve, reject) => {
      const settle = (end: () => void) => {
        asked.current = undefined
        put(undefined)
        end()
      }
      asked.current = (answer) => settle(() => resolve(answer))
      signal.addEventListener('abort', () => settle(() => reject(signal.reason)), { once: true })
      put(question)
    })
  }, [])

  const start = useCallback(
    (work: (request: RigWork) => Promise<T>) => {
      if (running.current) return
      const controller = new AbortController()
      const { signal } = controller
      running.current = controller
      setPhase({ kind: 'running', settings: [] })
      const onProgress = (settings: SettingProgress[]) => !signal.aborted && setPhase({ kind: 'running', settings })
      const end = (next: RigWorkPhase<T>) => setPhase(signal.aborted ? { kind: 'idle' } : next)
      work({ workshop, rig, product, signal, onProgress, ask: (question) => ask(question, signal) })
        .then(
          (result) => end({ kind: 'done', result }),
          (error) => end({ kind: 'problem', problem: problemOf(error) }),
        )
        .finally(() => {
          running.current = undefined
        })
    },
    [workshop, rig, product, ask],
  )
  const answer = useCallback((one: RunAnswer) => asked.current?.(one), [])
  const stop = useCallback(() => running.current?.abort(), [])
  const reset = useCallback(() => setPhase({ kind: 'idle' }), [])
  return { phase, start, answer, stop, reset }
}

/** The keys while something runs on the rig. @returns true when the key was one of them */
export function answerWithKey(
  working: Pick<RigWorking<unknown>, 'phase' | 'answer' | 'stop'>,
  key: { name: string; text?: string },
): boolean {
  const { phase, answer, stop } = working
  if (phase.kind !== 'running') return false
  if (key.name === 'escape') stop()
  else if (phase.question && (key.name === 'enter' || key.name === 'space')) answer('go')
  else if (phase.question?.kind === 'contact' && key.text?.toLowerCase() === 'm') answer('measure')
  return true
}
