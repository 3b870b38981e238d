import { isSamePart, type Rework } from './rework.ts'
import type { Verdict } from './verdict.ts'

/** What was done to a unit between one deciding test and the next, and what that next test said. */
export interface ReworkRound {
  /** The last test before it; null when the unit had none. */
  afterRunId: string | null
  /** The diagnosis that the maker had when the work began. */
  diagnosisId: number | null
  /** Parts that were replaced or redone, each once. */
  designators: string[]
  /** null while the unit waits for its test. */
  decidedBy: { id: string; verdict: Verdict } | null
}

/**
 * Takes the reworks of a unit together into rounds, newest first. A `repeat` decides nothing: what is redone after it
 * belongs to the round that has begun.
 * @param unit.reworks newest first, as `UnitDetail` has them
 * @param unit.runs newest first
 */
export function reworkRounds(unit: {
  reworks: readonly Pick<Rework, 'designator' | 'afterRunId' | 'diagnosisId'>[]
  runs: readonly { id: string; verdict: Verdict }[]
}): ReworkRound[] {
  const runs = [...unit.runs].reverse()
  const rounds = new Map<number, ReworkRound>()
  for (const { designator, afterRunId, diagnosisId } of [...unit.reworks].reverse()) {
    let begun = runs.findIndex((run) => run.id === afterRunId)
    while (begun > 0 && runs[begun].verdict === 'repeat') begun--
    const round = rounds.get(begun)
    if (round) {
      if (!round.designators.includes(designator)) round.designators.push(designator)
      continue
    }
    const next = runs.find((run, i) => i > begun && run.verdict !== 'repeat')
    const decidedBy = next ? { id: next.id, verdict: next.verdict } : null
    rounds.set(begun, { afterRunId, diagnosisId, designators: [designator], decidedBy })
  }
  return [...rounds.values()].reverse()
}

/**
 * Whether the suspicion was right, in words: "C4 was it", "still fails".
 * @param known.suspects parts of each suspect, most probable first, where the diagnosis of the time is known
 */
export function roundWords(round: ReworkRound, known: { suspects?: readonly (readonly string[])[] } = {}): string {
  const { designators, decidedBy } = round
  const parts = listWords(designators)
  if (!decidedBy) return `${parts} redone: the next test tells whether that was it.`
  if (decidedBy.verdict === 'fail') return `It still fails: ${parts} ${was(designators)} not it, or not that alone.`
  return `${designators.length === 1 ? parts : `One of ${parts}`} was it: the board passes since${rankWords(designators, known.suspects)}.`
}

const was = (designators: readonly string[]) => (designators.length === 1 ? 'was' : 'were')

const listWords = (words: readonly string[]): string =>
  words.length < 2 ? words.join('') : `${words.slice(0, -1).join(', ')} and ${words[words.length - 1]}`

const ordinals = ['first', 'second', 'third']

function rankWords(designators: readonly string[], suspects: readonly (readonly string[])[] | undefined): string {
  if (!suspects) return ''
  const rank = suspects.findIndex((names) => names.some((name) => designators.some((done) => isSamePart(name, done))))
  if (rank < 0) return ', though no suspect had named it'
  return rank < ordinals.length ? `, and the ${ordinals[rank]} suspect was right` : ', a suspect far down the list'
}
