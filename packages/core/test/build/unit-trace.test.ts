import { expect, test } from 'vitest'
import { stepPace } from '../../src/build/step-pace.ts'
import { type TracedRework, unitTrace } from '../../src/build/unit-trace.ts'
import { usualSteps } from '../../src/build/usual-steps.ts'
import { boardSteps, doneSteps } from '../../src/model/build.ts'

const fitted = (designator: string, part: string, lotId: string) => ({
  serial: 'S',
  designator,
  part,
  lotId,
  pieces: 1,
})
const rework = (id: number, designator: string, more: Partial<TracedRework> = {}): TracedRework => ({
  ...{ id, designator, at: `2026-03-0${id}T09:00:00.000Z`, action: 'replaced' },
  ...{ part: null, lot: null, lotId: null, lotPart: null, ...more },
})

test('a rework that replaced a part replaces its lot; any other leaves it', () => {
  const trace = unitTrace({
    fitted: [fitted('C10', 'CAP', 'L-1'), fitted('C7', 'CAP', 'L-1'), fitted('U1', 'AMP', 'L-2')],
    reworks: [
      rework(1, 'C7', { lotId: 'L-3', lotPart: 'CAP', lot: 'L-3' }),
      rework(2, 'C10', { action: 'resoldered' }),
      rework(3, 'U1B', { lot: 'green bag', part: 'another amp' }),
      rework(4, 'C7', { lotId: 'L-4', lotPart: 'CAP2' }),
    ],
  })
  const place = (designator: string, part: string | null, lotId: string | null, reworkId: number | null) => ({
    ...{ designator, part, lotId, reworkId, lotWords: null, pieces: 1 },
  })
  expect(trace.places).toEqual([
    place('C7', 'CAP2', 'L-4', 4),
    place('C10', 'CAP', 'L-1', null),
    { ...place('U1', 'another amp', null, 3), lotWords: 'green bag' },
  ])
  expect(trace.replaced.map(({ designator, lotId, replacedBy }) => [designator, lotId, replacedBy])).toEqual([
    ['C7', 'L-1', 1],
    ['U1', 'L-2', 3],
    ['C7', 'L-3', 4],
  ])
})

test('of a unit that was not built here only the reworks are known', () => {
  expect(unitTrace({ fitted: [], reworks: [rework(1, 'C7', { lotId: 'L-3', lotPart: 'CAP' })] }).places).toMatchObject([
    { designator: 'C7', lotId: 'L-3' },
  ])
})

test('steps that are done, undone and done again; the board ends where the rig begins', () => {
  const record = (step: string, mark: 'done' | 'undone' | 'wrong') => ({ step, mark })
  expect([
    ...doneSteps([record('a', 'done'), record('b', 'done'), record('a', 'undone'), record('b', 'wrong')]),
  ]).toEqual(['b'])
  expect(boardSteps(usualSteps).map(({ key }) => key)).toEqual([
    'trim',
    'touch-up',
    'first-clean',
    'second-clean',
    'look-over',
  ])
  expect(boardSteps(usualSteps.slice(0, 2)).length).toBe(2)
})

test('the pace of a step is the median of its times', () => {
  const record = (step: string, workedS: number | null, mark: 'done' | 'wrong' = 'done') => ({ step, mark, workedS })
  const records = [
    record('trim', 60),
    record('trim', 90),
    record('trim', 300),
    record('trim', null),
    record('trim', 1, 'wrong'),
  ]
  expect(stepPace([...records, record('clean', 10), record('clean', 20)])).toEqual([
    { step: 'trim', medianS: 90, times: 3 },
    { step: 'clean', medianS: 15, times: 2 },
  ])
})
