import { describe, expect, test } from 'vitest'
import { reworkRounds, roundWords } from '../../src/model/rework-round.ts'

const rework = (designator: string, afterRunId: string | null, diagnosisId: number | null = null) => ({
  designator,
  afterRunId,
  diagnosisId,
})
const run = (id: string, verdict: 'pass' | 'fail' | 'repeat') => ({ id, verdict })

describe('rounds of rework', () => {
  test('waits until a test decides; a repeat does not', () => {
    const reworks = [rework('C7', 'a', 4)]
    expect(reworkRounds({ reworks, runs: [run('a', 'fail')] })).toEqual([
      { afterRunId: 'a', diagnosisId: 4, designators: ['C7'], decidedBy: null },
    ])
    const repeated = reworkRounds({ reworks, runs: [run('b', 'repeat'), run('a', 'fail')] })
    expect(repeated[0].decidedBy).toBeNull()
    expect(roundWords(repeated[0])).toBe('C7 redone: the next test tells whether that was it.')
  })

  test('what is redone after a repeat belongs to the round that has begun', () => {
    const runs = [run('c', 'pass'), run('b', 'repeat'), run('a', 'fail')]
    const rounds = reworkRounds({ reworks: [rework('R5', 'b'), rework('C7', 'a')], runs })
    expect(rounds).toHaveLength(1)
    expect(rounds[0].designators).toEqual(['C7', 'R5'])
    expect(roundWords(rounds[0])).toBe('One of C7 and R5 was it: the board passes since.')
  })

  test('one round after the other, newest first', () => {
    const runs = [run('c', 'pass'), run('b', 'fail'), run('a', 'fail')]
    const rounds = reworkRounds({ reworks: [rework('C8', 'b'), rework('C7', 'a')], runs })
    expect(rounds.map((round) => roundWords(round))).toEqual([
      'C8 was it: the board passes since.',
      'It still fails: C7 was not it, or not that alone.',
    ])
  })

  test('a unit that was never tested', () => {
    expect(reworkRounds({ reworks: [rework('C7', null)], runs: [] })).toEqual([
      { afterRunId: null, diagnosisId: null, designators: ['C7'], decidedBy: null },
    ])
  })

  test('says which suspect was right; U1 is the package of U1A', () => {
    const round = reworkRounds({ reworks: [rework('U1', 'a')], runs: [run('b', 'pass'), run('a', 'fail')] })[0]
    expect(roundWords(round, { suspects: [['C4'], ['U1A']] })).toMatch(/the second suspect was right\.$/)
    expect(roundWords(round, { suspects: [['C4']] })).toMatch(/no suspect had named it\.$/)
  })
})
