import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import {
  hasUnsent,
  isSounding,
  type MeasuringEvent,
  measuring,
  nextSetting,
  nothingMeasured,
} from '../src/measure/measuring-state.ts'
import { measuringWords } from '../src/measure/measuring-words.ts'
import type { Take } from '../src/measure/take/take.ts'

const start = nothingMeasured(['max', 'min'])
const take = (setting: string, usable = true): Take => ({
  setting,
  rateHz: 48_000,
  channels: [new Float64Array(1)],
  check: { usable, findings: [], gainAt1kHzDb: 0, noiseDbfs: -90, peakDbfs: -20 },
  played: 1,
  bits: 16,
})
const after = (...events: MeasuringEvent[]) => events.reduce(measuring, start)

describe('one board at the desk', () => {
  test('goes from setting to setting to the verdict', () => {
    expect(nextSetting(start)).toBe('max')
    const one = after({ type: 'begin' }, { type: 'recorded', take: take('max') })
    expect(nextSetting(one)).toBe('min')
    expect(measuringWords(one)).toBe('Recorded. Now turn the knobs to min.')
    const both = measuring(one, { type: 'recorded', take: take('min') })
    expect(nextSetting(both)).toBeUndefined()
    expect(hasUnsent(both)).toBe(true)
  })

  test('a refused recording waits until the maker decides; a new one takes its place', () => {
    const refused = after({ type: 'begin' }, { type: 'recorded', take: take('max', false) })
    expect(nextSetting(refused)).toBe('max')
    expect(measuringWords(refused)).toBe('The recording at max proves nothing.')
    expect(measuring(refused, { type: 'keep' })).toMatchObject({ takes: [{ setting: 'max' }], refused: null })
    const stopped = [{ type: 'begin' }, { type: 'stopped' }].reduce<typeof start>(
      (state, event) => measuring(state, event as MeasuringEvent),
      refused,
    )
    expect(stopped.refused).not.toBeNull()
    expect(measuring(stopped, { type: 'recorded', take: take('max') })).toMatchObject({ refused: null })
  })

  test('tells of a repeat', () => {
    const progress = { doing: 'playing', fraction: 0.2, peak: 0.1, repeat: 1 } as const
    expect(measuringWords(after({ type: 'begin' }, { type: 'progress', progress }))).toBe(
      'A block was lost: playing the sweep again (1 of 2).',
    )
  })

  test('whatever happens, nothing that was recorded is dropped but by beginning anew', () => {
    const event: fc.Arbitrary<MeasuringEvent> = fc.oneof(
      fc.constantFrom<MeasuringEvent>({ type: 'begin' }, { type: 'stopped' }, { type: 'send' }, { type: 'keep' }),
      fc.constant<MeasuringEvent>({ type: 'failed', problem: new Error('unplugged') }),
      fc.boolean().map<MeasuringEvent>((usable) => ({ type: 'recorded', take: take('any', usable) })),
    )
    fc.assert(
      fc.property(fc.array(event), (events) => {
        let state = start
        for (const each of events) {
          const next = measuring(state, each)
          expect(next.takes.slice(0, state.takes.length)).toEqual(state.takes)
          if (state.refused && each.type !== 'recorded' && each.type !== 'keep')
            expect(next.refused).toBe(state.refused)
          if (each.type === 'failed' || each.type === 'stopped') expect(isSounding(next)).toBe(false)
          state = next
        }
      }),
    )
  })
})
