import type { DiagnosisFigures, HitRate } from '../model/diagnosis-figures.ts'
import { isSamePart, type Rework } from '../model/rework.ts'
import { exactProportionInterval } from '../statistics/proportion-interval.ts'
import type { Store } from './ports.ts'

const confidence = 0.95
/** How many suspects a maker looks at before giving up on the list. */
const lookedAt = 3

/** Was it right? undefined: this case does not tell. */
interface Outcome {
  waiting: boolean
  first?: boolean
  firstThree?: boolean
}

/** Counts how often the first suspect was right over all reworked units; see `DiagnosisFigures` for what counts. */
export function diagnosisFigures({ store }: { store: Store }): DiagnosisFigures {
  return store.snapshot(() => {
    const reworks = store.reworks.all()
    const outcomes = casesOf(store, reworks).map((begun) => outcomeOf(store, begun, reworks))
    const decided = outcomes.filter((outcome) => !outcome.waiting)
    return {
      confidence,
      first: hitRate(decided.flatMap(({ first }) => first ?? [])),
      firstThree: hitRate(decided.flatMap(({ firstThree }) => firstThree ?? [])),
      waiting: outcomes.length - decided.length,
      undecided: decided.filter(({ first }) => first === undefined).length,
    }
  })
}

/** A failed run and the diagnosis that the maker had of it when the work began. */
interface Case {
  serial: string
  runId: string
  diagnosisId: number
}

function casesOf(store: Store, reworks: readonly Rework[]): Case[] {
  const begun = new Map<string, Rework>()
  for (const rework of reworks)
    if (rework.afterRunId !== null && !begun.has(rework.afterRunId)) begun.set(rework.afterRunId, rework)
  return [...begun].flatMap(([runId, { serial, diagnosisId }]) =>
    diagnosisId !== null && store.testRuns.summary(runId)?.verdict === 'fail' ? [{ serial, runId, diagnosisId }] : [],
  )
}

function outcomeOf(store: Store, { serial, runId, diagnosisId }: Case, all: readonly Rework[]): Outcome {
  const runs = store.testRuns.ofUnit(serial).reverse()
  const place = runs.findIndex((run) => run.id === runId)
  // A `repeat` decides nothing; what was redone after it belongs to the same case.
  const next = runs.findIndex((run, i) => i > place && run.verdict !== 'repeat')
  if (next < 0) return { waiting: true }
  const between = runs.slice(place, next).map((run) => run.id)
  const done = all.filter(({ afterRunId }) => afterRunId !== null && between.includes(afterRunId))
  const wasReworked = (name: string) => done.some(({ designator }) => isSamePart(designator, name))
  const suspects = store.diagnoses.leading(diagnosisId).slice(0, lookedAt)
  if (runs[next].verdict === 'pass') {
    const right = suspects.map((designators) => designators.some(wasReworked))
    return { waiting: false, first: right[0] ?? false, firstThree: right.includes(true) }
  }
  // Redone, and the board still fails: it was not that, or not that alone.
  const cleared = suspects.map((designators) => designators.length > 0 && designators.every(wasReworked))
  return {
    waiting: false,
    ...(cleared[0] ? { first: false } : {}),
    ...(cleared.length > 0 && cleared.every(Boolean) ? { firstThree: false } : {}),
  }
}

function hitRate(hit: readonly boolean[]): HitRate {
  const cases = hit.length
  const hits = hit.filter(Boolean).length
  if (cases === 0) return { hits, cases, rate: null, lower: 0, upper: 1 }
  const { estimate, lower, upper } = exactProportionInterval({ successes: hits, trials: cases, confidence })
  return { hits, cases, rate: estimate, lower, upper }
}
