import { useCallback, useEffect, useRef, useState } from 'react'
import type { Bench } from '../bench.ts'
import { problemOf, type SessionProblem } from '../session/problem-of.ts'
import { guideSteps } from '../session/setup/guide-step.ts'
import type { SetUp } from '../session/setup/steps.ts'
import { allowFirstSound } from '../session/steps/caution.ts'
import { useQuestion } from './use-question.ts'

/** What a step of the guide does, and what it may say meanwhile. */
export type GuideWork = (setUp: SetUp, tell: (activity: string) => void) => Promise<void> | void

export interface RigGuide {
  step: number
  /** What the rig does now. */
  activity?: string
  /** The caution before the first sound waits to be confirmed. */
  cautioned: boolean
  problem?: SessionProblem
  /** Grows with every piece of work that was finished, so that what is shown is read again. */
  version: number
  go: (by: number) => void
  /** Does something that can go wrong; with `sound`, after the caution. */
  work: (what: GuideWork, options?: { sound?: string; goesOn?: boolean }) => void
  confirm: () => void
  stop: () => void
}

/** The set-up guide: one step at a time, one piece of work at a time; what was finished is stored at once. */
export function useRigGuide({ workshop, rig, product }: Pick<Bench, 'workshop' | 'rig' | 'product'>): RigGuide {
  const [step, setStep] = useState(0)
  const [activity, setActivity] = useState<string>()
  const caution = useQuestion<true, 'go'>()
  const [problem, setProblem] = useState<SessionProblem>()
  const [version, setVersion] = useState(0)
  const running = useRef<AbortController | undefined>(undefined)
  useEffect(() => () => running.current?.abort(), [])

  const go = useCallback((by: number) => {
    setProblem(undefined)
    setStep((now) => Math.max(0, Math.min(guideSteps.length - 1, now + by)))
  }, [])

  const { ask } = caution
  const work = useCallback<RigGuide['work']>(
    (what, options = {}) => {
      if (running.current) return
      const controller = new AbortController()
      const { signal } = controller
      running.current = controller
      setProblem(undefined)
      const does = async () => {
        if (options.sound !== undefined) {
          await allowFirstSound({ rig, signal, ask: () => ask(true, signal) })
          setActivity(options.sound)
        }
        await what({ workshop, rig, product, signal }, setActivity)
      }
      does()
        .then(
          () => {
            setVersion((now) => now + 1)
            if (options.goesOn) go(1)
          },
          (error) => !signal.aborted && setProblem(problemOf(error)),
        )
        .finally(() => {
          running.current = undefined
          setActivity(undefined)
        })
    },
    [workshop, rig, product, ask, go],
  )
  const stop = useCallback(() => running.current?.abort(), [])
  const confirm = () => caution.answer('go')
  const cautioned = caution.question === true
  return { step, activity, cautioned, problem, version, go, work, confirm, stop }
}
