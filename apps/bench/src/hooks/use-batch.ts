import { useCallback, useEffect, useRef, useState } from 'react'
import type { Bench } from '../bench.ts'
import { nextInOrder } from '../session/batch-order.ts'
import type { BatchRecorder } from '../session/batch-recorder.ts'
import type { Likeness } from '../session/board-likeness.ts'
import { problemOf, type SessionProblem } from '../session/problem-of.ts'
import { recordBoard } from '../session/record-board.ts'
import type { SettingProgress } from '../session/setting-progress.ts'
import type { RunAnswer, RunQuestion } from '../session/test-request.ts'
import type { BatchResult } from '../text/batch-words.ts'

export type BatchPhase =
  /** Take the last board out, put the next one in, press the pedal. */
  | { kind: 'next' }
  | { kind: 'measuring'; serial: string; settings: SettingProgress[]; question?: RunQuestion }
  | { kind: 'judging'; serial: string }
  /** It answers like another board: was it swapped? */
  | { kind: 'alike'; serial: string; like: Likeness }
  | { kind: 'problem'; serial: string; problem: SessionProblem }
  | { kind: 'summary' }

export interface Batch {
  phase: BatchPhase
  results: BatchResult[]
  /** The serial number that is expected next. */
  offered: string | undefined
  start: (serial: string) => void
  answer: (answer: RunAnswer) => void
  /** It is another board all the same: judge it. */
  keepAlike: () => void
  /** Drops what was measured last, or stops what is being measured; nothing of it is stored. */
  drop: () => void
  finish: () => void
  resume: () => void
}

/**
 * The batch: one board on the rig at a time, everything else behind it. A verdict is stored the moment it is known, so that
 * leaving at any time loses nothing.
 */
export function useBatch(bench: Pick<Bench, 'workshop' | 'rig' | 'product'>, recorder: BatchRecorder): Batch {
  const { workshop, rig, product } = bench
  const [phase, setPhase] = useState<BatchPhase>({ kind: 'next' })
  const [results, setResults] = useState<BatchResult[]>([])
  const running = useRef<AbortController | undefined>(undefined)
  const asked = useRef<((answer: RunAnswer) => void) | undefined>(undefined)
  const pressedAtMs = useRef(0)
  useEffect(() => () => running.current?.abort(), [])

  const settle = useCallback(
    async (serial: string) => {
      const kept = await recorder.keep()
      const boardS = (performance.now() - pressedAtMs.current) / 1000
      const { verdict, reason, newUnit, runId } = kept
      const label = verdict === 'pass' ? undefined : null
      setResults((all) => [...all, { serial: kept.serial, verdict, reason, newUnit, boardS, label }])
      setPhase({ kind: 'next' })
      if (verdict !== 'pass') return
      const outcome = await recorder
        .label(runId)
        .catch((error) => ({ path: null, printed: false, problem: problemOf(error).message }))
      setResults((all) =>
        all.map((one) => (one.serial === serial && one.label === undefined ? { ...one, label: outcome } : one)),
      )
    },
    [recorder],
  )

  const ask = useCallback((question: RunQuestion, signal: AbortSignal) => {
    const put = (open: RunQuestion | undefined) =>
      setPhase((now) => (now.kind === 'measuring' ? { ...now, question: open } : now))
    return new Promise<RunAnswer>((resolve, reject) => {
      const end = (done: () => void) => {
        asked.current = undefined
        put(undefined)
        done()
      }
      asked.current = (answer) => end(() => resolve(answer))
      signal.addEventListener('abort', () => end(() => reject(signal.reason)), { once: true })
      put(question)
    })
  }, [])

  const start = useCallback(
    (serial: string) => {
      if (running.current) return
      const controller = new AbortController()
      const { signal } = controller
      running.current = controller
      pressedAtMs.current = performance.now()
      setPhase({ kind: 'measuring', serial, settings: [] })
      const onProgress = (settings: SettingProgress[]) =>
        !signal.aborted &&
        setPhase((now) => (now.kind === 'measuring' ? { ...now, settings } : { kind: 'measuring', serial, settings }))
      const work = async () => {
        const board = await recordBoard({
          workshop,
          rig,
          product,
          serial,
          signal,
          onProgress,
          ask: (question) => ask(question, signal),
        })
        setPhase({ kind: 'judging', serial })
        const like = await recorder.analyse(board)
        if (like) setPhase({ kind: 'alike', serial, like })
        else await settle(serial)
      }
      work()
        .catch((error) =>
          setPhase(signal.aborted ? { kind: 'next' } : { kind: 'problem', serial, problem: problemOf(error) }),
        )
        .finally(() => {
          running.current = undefined
        })
    },
    [workshop, rig, product, recorder, ask, settle],
  )

  const keepAlike = useCallback(() => {
    if (phase.kind !== 'alike') return
    const { serial } = phase
    setPhase({ kind: 'judging', serial })
    settle(serial).catch((error) => setPhase({ kind: 'problem', serial, problem: problemOf(error) }))
  }, [phase, settle])
  const drop = useCallback(() => {
    running.current?.abort()
    setPhase((now) => (now.kind === 'alike' || now.kind === 'problem' ? { kind: 'next' } : now))
  }, [])
  const done = results.map((one) => one.serial)
  return {
    phase,
    results,
    offered: nextInOrder(workshop, product.id, done),
    start,
    answer: useCallback((one: RunAnswer) => asked.current?.(one), []),
    keepAlike,
    drop,
    finish: useCallback(() => setPhase({ kind: 'summary' }), []),
    resume: useCallback(() => setPhase({ kind: 'next' }), []),
  }
}
