import { judge, type Verdict } from '@boardwright/core'
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { maxShape, measurementOf, planOf, referenceBoard, runOff, type Shape } from './judge-fixture.ts'

const order: Record<Verdict, number> = { pass: 0, repeat: 1, fail: 2 }
const plan = planOf()
const reference = referenceBoard()
const verdictAt = (off: { max?: Shape; min?: Shape }, uncertaintyDb?: number) =>
  judge({ plan, reference, measurements: runOff(off, uncertaintyDb) }).verdict
const uncertainty = fc.double({ min: 0, max: 0.09, noNaN: true })
/** Guard band of the fixture: reference 0.02 dB, rig 0.03 dB, 95 %. */
const guard = (u: number) => 1.644853627 * Math.hypot(u, 0.02, 0.03)
const bump =
  (centreHz: number, octaves: number): Shape =>
  (f) =>
    Math.exp(-((Math.log2(f / centreHz) / octaves) ** 2))

describe('whatever the curve', () => {
  test('a shift by less than the limit minus the guard band passes, beyond the limit plus the guard band fails', () => {
    fc.assert(
      fc.property(fc.double({ min: -1, max: 1, noNaN: true }), uncertainty, (share, u) => {
        const inside = share * (1.5 - guard(u) - 1e-6)
        expect(verdictAt({ max: () => inside }, u)).toBe('pass')
        const outside = Math.sign(share || 1) * (1.5 + guard(u) + 1e-6)
        expect(verdictAt({ max: () => outside }, u)).toBe('fail')
      }),
    )
  })

  test('a larger deviation of the same shape never gets a better verdict', () => {
    const centre = fc.double({ min: 30, max: 15_000, noNaN: true })
    const size = fc.double({ min: 0, max: 3, noNaN: true })
    fc.assert(
      fc.property(
        centre,
        fc.double({ min: 0.1, max: 4, noNaN: true }),
        size,
        size,
        fc.boolean(),
        uncertainty,
        (f, w, a, b, up, u) => {
          const shape = bump(f, w)
          const sign = up ? 1 : -1
          const verdict = (db: number) => order[verdictAt({ min: (x) => sign * db * shape(x) }, u)]
          expect(verdict(Math.max(a, b))).toBeGreaterThanOrEqual(verdict(Math.min(a, b)))
        },
      ),
    )
  })

  test('more uncertainty never turns a repeat into a pass or a fail', () => {
    fc.assert(
      fc.property(fc.double({ min: -3, max: 3, noNaN: true }), uncertainty, uncertainty, (db, a, b) => {
        const certain = verdictAt({ max: () => db }, Math.min(a, b))
        const vague = verdictAt({ max: () => db }, Math.max(a, b))
        expect(vague === 'repeat' || vague === certain).toBe(true)
      }),
    )
  })

  test('the order of the recordings and of the settings does not matter', () => {
    const db = fc.double({ min: -3, max: 3, noNaN: true })
    fc.assert(
      fc.property(db, db, fc.boolean(), (max, min, turned) => {
        const measurements = runOff({ max: () => max, min: () => min })
        const straight = judge({ plan, reference, measurements })
        expect(judge({ plan, reference, measurements: [...measurements].reverse() })).toEqual(straight)
        const other = planOf({ settings: turned ? ['min', 'max'] : ['max', 'min'] })
        expect(judge({ plan: other, reference, measurements }).verdict).toBe(straight.verdict)
      }),
    )
  })

  test('the level difference is the shift, and what is left does not depend on it', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -20, max: 20, noNaN: true }),
        fc.double({ min: 30, max: 15_000, noNaN: true }),
        (shift, f) => {
          const shape = bump(f, 1)
          const one = judge({ plan, reference, measurements: runOff({ max: shape }) }).settings[0]
          const two = judge({ plan, reference, measurements: runOff({ max: (x) => shape(x) + shift }) }).settings[0]
          expect(two.levelDifferenceDb - one.levelDifferenceDb).toBeCloseTo(shift, 9)
          two.alignedDeviationDb.forEach((d, i) => {
            expect(d).toBeCloseTo(one.alignedDeviationDb[i], 9)
          })
        },
      ),
      { numRuns: 40 },
    )
  })

  test('every verdict but a pass names a reason of that weight, and the first reason has the weight of the verdict', () => {
    fc.assert(
      fc.property(fc.double({ min: -4, max: 4, noNaN: true }), fc.double({ min: -4, max: 4, noNaN: true }), (a, b) => {
        const judgement = judge({ plan, reference, measurements: runOff({ max: () => a, min: () => b }) })
        expect(judgement.reasons[0].verdict).toBe(judgement.verdict)
        for (const reason of judgement.reasons) expect(reason.message).toMatch(/^[A-Z].*\.$/)
      }),
    )
  })

  test('a curve on another grid gets the verdict of the same board on the own grid', () => {
    const dense = Array.from({ length: 478 }, (_, i) => 20.3 * 2 ** (i / 48))
    fc.assert(
      fc.property(fc.constantFrom(-3, -1.2, 0, 1.2, 3), (db) => {
        const [, min] = runOff({})
        const max = measurementOf({ setting: 'max', shape: (f) => maxShape(f) + db, frequencyHz: dense })
        expect(judge({ plan, reference, measurements: [max, min] }).verdict).toBe(verdictAt({ max: () => db }))
      }),
    )
  })
})
