import { BoardwrightError, type HardRun, type Unit } from '@boardwright/core'
import { useCallback, useEffect, useRef, useState } from 'react'
import type { Bench } from '../bench.ts'
import { type HardProgress, type HardQuestion, pressHard } from '../session/press-hard.ts'
import { problemOf, type SessionProblem } from '../session/problem-of.ts'

export type HardPhase =
  | { kind: 'running'; parts: HardProgress[]; question?: HardQuestion }
  | { kind: 'done'; run: HardRun; unit: Unit }
  | { kind: 'problem'; problem: SessionProblem }
  | { kind: 'stopped' }

/** Presses one board hard: at once, and again when asked; stopped when the screen is left. */
export function useHard({ workshop, rig, product }: Pick<Bench, 'workshop' | 'rig' | 'product'>, serial: string) {
  const [phase, setPhase] = useState<HardPhase>({ kind: 'running', parts: [] })
  const running = useRef<AbortController | undefined>(undefined)
  const asked = useRef<(() => void) | undefined>(undefined)

  const start = useCallback(() => {
    if (running.current) return
    const controller = new AbortController()
    const { signal } = controller
    running.current = controller
    setPhase({ kind: 'running', parts: [] })
    const put = (question: HardQuestion | undefined) =>
      setPhase((now) => (now.kind === 'running' ? { ...now, question } : now))
    const ask = (question: HardQuestion) =>
      new Promise<void>((resolve, reject) => {
        const end = (done: () => void) => {
          asked.current = undefined
          put(undefined)
          done()
        }
        asked.current = () => end(resolve)
        signal.addEventListener('abort', () => end(() => reject(signal.reason)), { once: true })
        put(question)
      })
    const work = async () => {
      const { hard } = product.testPlan
      if (!hard || !workshop.hard.currentReference(product.id))
        throw new BoardwrightError(
          hard ? 'no-hard-reference' : 'no-hard-plan',
          hard
            ? `The reference board of ${product.name} has not been pressed hard yet.`
            : `The test plan of ${product.name} does not say how a board is pressed hard.`,
        )
      const onProgress = (parts: HardProgress[]) =>
        !signal.aborted && setPhase((now) => (now.kind === 'running' ? { ...now, parts } : now))
      const recordings = await pressHard({ workshop, rig, product, serial, hard, signal, ask, onProgress })
      return workshop.hard.record({ serial, rig: rig.kind, rigSettings: rig.settings, recordings })
    }
    work()
      .then(
        ({ run, unit }) => setPhase({ kind: 'done', run, unit }),
        (error) => setPhase(signal.aborted ? { kind: 'stopped' } : { kind: 'problem', problem: problemOf(error) }),
      )
      .finally(() => {
        running.current = undefined
      })
  }, [workshop, rig, product, serial])
  useEffect(() => {
    start()
    return () => running.current?.abort()
  }, [start])
  return {
    phase,
    start,
    answer: useCallback(() => asked.current?.(), []),
    stop: useCallback(() => running.current?.abort(), []),
  }
}
