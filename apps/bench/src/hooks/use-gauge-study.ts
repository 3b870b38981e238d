import { type GaugeResult, type GaugeStudy, rigKindOf, type Unit } from '@boardwright/core'
import type { GaugeProgress } from '@boardwright/core/workshop'
import { useEffect, useMemo, useState } from 'react'
import type { Bench } from '../bench.ts'
import { problemOf, type SessionProblem } from '../session/problem-of.ts'
import { runGaugeReading } from '../session/run-gauge-reading.ts'
import { type RigWorking, useRigWork } from './use-rig-work.ts'

/** How large a study a maker can choose with the arrow keys. */
const sizes = { boards: { least: 2, most: 10, usual: 5 }, setUps: { least: 2, most: 6, usual: 3 } }
const repeats = 3

const within = (value: number, { least, most }: { least: number; most: number }) =>
  Math.min(most, Math.max(least, value))

export interface GaugeScreenState {
  working: RigWorking<GaugeProgress>
  /** The study that waits for its next reading. */
  progress: GaugeProgress | undefined
  /** The last complete study with its result. */
  last: { study: GaugeStudy; result: GaugeResult; isInForce: boolean } | undefined
  /** Boards that may take part, and the size chosen for a new study. */
  boards: readonly Unit[]
  size: { boards: number; setUps: number; repeats: number }
  problem: SessionProblem | undefined
  resize: (change: { boards?: number; setUps?: number }) => void
  begin: () => void
  measure: () => void
  accept: () => void
}

/** What the gauge screen shows and does; repeats of a board that stays in follow by themselves. */
export function useGaugeStudy(bench: Bench, version: number): GaugeScreenState {
  const { workshop, product, rig } = bench
  const which = { productId: product.id, rig: rigKindOf(rig.kind) }
  const working = useRigWork<GaugeProgress>(bench)
  const { phase } = working
  const [size, setSize] = useState({ boards: sizes.boards.usual, setUps: sizes.setUps.usual, repeats })
  const [problem, setProblem] = useState<SessionProblem | undefined>()
  // biome-ignore lint/correctness/useExhaustiveDependencies: version and phase say that the workshop has changed
  const known = useMemo(() => {
    const study = workshop.gaugeStudies
      .list(product.id)
      .find((one) => one.rig === which.rig && one.state === 'complete')
    const inForce = workshop.gaugeStudies.inForce(which)
    return {
      progress: workshop.gaugeStudies.underWay(which),
      last: study && {
        study,
        result: workshop.gaugeStudies.result(study.id),
        isInForce: inForce?.studyId === study.id,
      },
      boards: workshop.units().filter((unit) => unit.productId === product.id && isAtHand(unit)),
    }
  }, [workshop, product, which.rig, version, phase.kind])
  const { progress, boards } = known
  const measure = () => {
    const step = progress?.next
    if (step) working.start((request) => runGaugeReading({ ...request, studyId: progress.study.id, step }))
  }
  const isRepeat = phase.kind === 'done' && (progress?.next?.repeat ?? 1) > 1
  // biome-ignore lint/correctness/useExhaustiveDependencies: a board that stays in is measured again at once
  useEffect(() => {
    if (isRepeat) measure()
  }, [isRepeat])
  const trying = (work: () => void) => {
    try {
      work()
      setProblem(undefined)
    } catch (error) {
      setProblem(problemOf(error))
    }
  }
  return {
    ...{ working, ...known, size, problem, measure },
    resize: (change) =>
      setSize((now) => ({
        ...now,
        boards: within(now.boards + (change.boards ?? 0), {
          ...sizes.boards,
          most: Math.max(2, Math.min(sizes.boards.most, boards.length)),
        }),
        setUps: within(now.setUps + (change.setUps ?? 0), sizes.setUps),
      })),
    begin: () =>
      trying(() => {
        const serials = boards.slice(0, size.boards).map(({ serial }) => serial)
        workshop.gaugeStudies.start({ ...which, serials, repeats: size.repeats, setUps: size.setUps })
      }),
    accept: () => trying(() => void (known.last && workshop.gaugeStudies.accept(known.last.study.id))),
  }
}

const isAtHand = ({ state }: Unit): boolean => ['untested', 'ready', 'failed', 'reserved', 'returned'].includes(state)
