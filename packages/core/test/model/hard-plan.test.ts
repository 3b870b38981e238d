import { describe, expect, it } from 'vitest'
import { type HardPlan, hardLevels } from '../../src/model/hard-plan.ts'
import { Product } from '../../src/model/product.ts'
import { plover } from '../circuit/read-product.ts'

const withHard = (change: object) => ({
  ...plover,
  testPlan: { ...plover.testPlan, hard: { ...plover.testPlan.hard, ...change } },
})
const issuesOf = (change: object) =>
  Product.safeParse(withHard(change)).error?.issues.map((one) => `${one.path.join('.')}: ${one.message}`) ?? []

describe('how a board is pressed hard, in the product file', () => {
  it('the Plover says it', () => {
    expect(issuesOf({})).toEqual([])
    expect(plover.testPlan.hard?.supplies.map((one) => one.name)).toEqual(['fresh', 'flat'])
  })
  it('every mistake is named with its path and what to do', () => {
    expect(issuesOf({ setting: 'loud' })).toEqual([
      'testPlan.hard.setting: no setting is called "loud"; there are: max, min, centre, bass-only, treble-only',
    ])
    expect(issuesOf({ sweep: { levelV: 5 } })).toEqual(['testPlan.hard.sweep: full scale is 3.99 V: stay below it'])
    expect(issuesOf({ sweep: { levelV: 0.5, levelDbfs: -20 } })).toEqual([
      'testPlan.hard.sweep: give the level of the sweep once, as levelV or as levelDbfs',
    ])
    expect(issuesOf({ ladder: { fromV: 0.1, toV: 4.5, stepDb: 3 } })).toEqual([
      'testPlan.hard.ladder.toV: full scale is 3.99 V: stay below it',
    ])
    expect(issuesOf({ ladder: { fromV: 1, toV: 1.2 } })).toEqual([
      'testPlan.hard.ladder: the ladder needs four steps or more: let it begin lower or end higher',
    ])
    expect(issuesOf({ ladder: { fromV: 0.001, toV: 2, stepDb: 0.5 } })).toEqual([
      'testPlan.hard.ladder.stepDb: the ladder has more than 30 steps: make them wider',
    ])
    expect(issuesOf({ tonesHz: [1000, 12_000] })).toEqual([
      'testPlan.hard.tonesHz.1: the second harmonic of 12000 Hz does not fit the sample rate',
    ])
    expect(issuesOf({ tonesHz: [1000, 110] })).toEqual([
      'testPlan.hard.tonesHz: put the tones in rising order, each once',
    ])
    expect(issuesOf({ orders: [1, 2] })).toEqual([
      'testPlan.hard.orders.0: the first harmonic that there is has order 2',
    ])
    expect(issuesOf({ supplies: [] })).toEqual([
      'testPlan.hard.supplies: name at least one supply, such as a fresh battery',
    ])
  })
  it('levels can be told in volts or at the interface, and mean the same', () => {
    const plan = { levelV: 0.2, stimulus: { levelDbfs: -26 } }
    const ladder = { stepDb: 2 }
    const inVolts = { sweep: { levelV: 0.2, durationS: 5 }, ladder: { ...ladder, fromV: 0.02, toV: 0.2 } } as HardPlan
    const inDbfs = {
      sweep: { levelDbfs: -26, durationS: 5 },
      ladder: { ...ladder, fromDbfs: -46, toDbfs: -26 },
    } as HardPlan
    expect(hardLevels(plan, inVolts).sweepDbfs).toBeCloseTo(-26, 9)
    const [one, other] = [hardLevels(plan, inVolts), hardLevels(plan, inDbfs)]
    expect(one.ladderDbfs.length).toBe(11)
    one.ladderDbfs.forEach((level, i) => {
      expect(level).toBeCloseTo(other.ladderDbfs[i], 9)
    })
  })
})
