import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { drawnView, moveView, scaleView } from '../src/chart/frequency-view.ts'

const whole = { fromHz: 20, toHz: 20_000 }
const octaves = (view: { fromHz: number; toHz: number }) => Math.log2(view.toHz / view.fromHz)

describe('zooming a logarithmic axis', () => {
  test('half as many octaves around the geometric middle', () => {
    const view = scaleView(whole, { factor: 0.5, whole })
    // 20 Hz to 20 kHz are log2(1000) = 9.966 octaves with 632 Hz in the middle (closed form).
    expect(octaves(view)).toBeCloseTo(Math.log2(1000) / 2, 9)
    expect(Math.sqrt(view.fromHz * view.toHz)).toBeCloseTo(Math.sqrt(20 * 20_000), 6)
  })

  test('around the frequency that is read off', () => {
    const view = scaleView(whole, { factor: 0.25, whole, centreHz: 1000 })
    expect(Math.sqrt(view.fromHz * view.toHz)).toBeCloseTo(1000, 6)
  })

  test('a frequency near the end moves the view inside instead of showing nothing', () => {
    const view = scaleView(whole, { factor: 0.5, whole, centreHz: 25 })
    expect(view.fromHz).toBeCloseTo(20, 9)
    expect(octaves(view)).toBeCloseTo(Math.log2(1000) / 2, 9)
  })

  test('a range drawn from right to left is the same as from left to right', () => {
    expect(drawnView(4000, 100, whole)).toEqual(drawnView(100, 4000, whole))
    expect(drawnView(100, 4000, whole).fromHz).toBeCloseTo(100, 9)
    expect(drawnView(100, 4000, whole).toHz).toBeCloseTo(4000, 8)
  })

  test('moving by half a width and back is where it was, away from the ends', () => {
    const start = drawnView(200, 800, whole)
    const back = moveView(moveView(start, { share: 0.5, whole }), { share: -0.5, whole })
    expect(back.fromHz).toBeCloseTo(200, 8)
    expect(back.toHz).toBeCloseTo(800, 8)
  })

  test('whatever is pressed, the view stays inside the curve and wide enough to read', () => {
    const step = fc.oneof(
      fc.record({ kind: fc.constant('scale'), a: fc.double({ min: 0.1, max: 4, noNaN: true }), b: fc.constant(0) }),
      fc.record({ kind: fc.constant('move'), a: fc.double({ min: -2, max: 2, noNaN: true }), b: fc.constant(0) }),
      fc.record({
        kind: fc.constant('draw'),
        a: fc.double({ min: 1, max: 30_000, noNaN: true }),
        b: fc.double({ min: 1, max: 30_000, noNaN: true }),
      }),
    )
    fc.assert(
      fc.property(fc.array(step, { maxLength: 12 }), (steps) => {
        let view = whole
        for (const { kind, a, b } of steps) {
          if (kind === 'scale') view = scaleView(view, { factor: a, whole })
          else if (kind === 'move') view = moveView(view, { share: a, whole })
          else view = drawnView(a, b, whole)
          expect(view.fromHz).toBeGreaterThan(20 * (1 - 1e-9))
          expect(view.toHz).toBeLessThan(20_000 * (1 + 1e-9))
          expect(octaves(view)).toBeGreaterThan(1 / 3 - 1e-9)
        }
      }),
    )
  })
})
