import type { NextCheck, Product } from '@boardwright/core'
import { playbackCaution } from '@boardwright/core/audio'
import type { DiagnoseRun } from '@boardwright/core/workshop'
import { useEffect, useRef, useState } from 'react'
import type { Bench } from '../bench.ts'
import { answerKind, numberAnswer, readMeter } from '../session/check-answer.ts'
import { problemOf, type SessionProblem } from '../session/problem-of.ts'
import { wantsCaution } from '../session/steps/caution.ts'
import { stimulusOf } from '../session/stimulus.ts'

export interface CheckAnswer {
  /** What the rig does now, while a sweep is played for a check. */
  activity?: string
  problem?: SessionProblem
  tellNumber: (check: NextCheck, text: string) => void
  tellPart: (designator: string, sound: boolean) => void
  /** Runs the rig at the check's setting. */
  sweep: (check: NextCheck) => void
  stop: () => void
}

/** Takes the result of a check to the diagnosis: a number from a meter, a part measured by itself, or one more sweep. */
export function useCheckAnswer(options: {
  bench: Bench
  product: Product
  serial: string
  tell: (more: Omit<DiagnoseRun, 'runId' | 'serial'>) => void
}): CheckAnswer {
  const { bench, product, serial, tell } = options
  const [activity, setActivity] = useState<string>()
  const [problem, setProblem] = useState<SessionProblem>()
  const running = useRef<AbortController | undefined>(undefined)
  useEffect(() => () => running.current?.abort(), [])

  const tellNumber = (check: NextCheck, text: string) => {
    const kind = answerKind(check)
    if (kind?.kind !== 'number') return
    const value = readMeter(text, kind.unit)
    if (value === undefined)
      return setProblem({
        message: `"${text}" is no reading of a meter.`,
        remedy: `Type the number alone (it is in ${kind.unit}), or with its unit.`,
      })
    tell(numberAnswer(check, value))
  }

  const sweep = (check: NextCheck) => {
    const kind = answerKind(check)
    if (kind?.kind !== 'sweep' || running.current) return
    if (kind.node !== null && bench.rig.kind === 'simulated')
      return setProblem({
        message: 'The simulated rig has no probe: it records at the output only.',
        remedy: 'Choose another check.',
      })
    if (wantsCaution(bench.rig))
      return setProblem({ message: playbackCaution, remedy: 'When it is so, Enter plays the sweep.' })
    const controller = new AbortController()
    running.current = controller
    setProblem(undefined)
    setActivity('starting')
    const { setting } = kind
    const { signal } = controller
    const played = stimulusOf(product, bench.rig.settings)
    const onProgress = (now: { activity: string; fraction: number }) =>
      !signal.aborted && setActivity(`${now.activity} (${Math.round(100 * now.fraction)} %)`)
    bench.rig
      .run({ serial, setting, sweep: played, signal, onProgress })
      .then(
        (recording) => {
          if (signal.aborted) return
          const node = kind.node === null ? {} : { node: kind.node }
          tell({ recordings: [{ setting, ...recording, ...node }], sweep: played })
        },
        (error) => !signal.aborted && setProblem(problemOf(error)),
      )
      .finally(() => {
        running.current = undefined
        if (!signal.aborted) setActivity(undefined)
      })
  }

  return {
    activity,
    problem,
    tellNumber,
    tellPart: (designator, sound) => tell(sound ? { soundParts: [designator] } : { faultyParts: [designator] }),
    sweep,
    stop: () => {
      running.current?.abort()
      running.current = undefined
      setActivity(undefined)
    },
  }
}
