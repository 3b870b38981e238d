import { describe, expect, it } from 'vitest'
import { hypothesesOf } from '../../src/diagnosis/hypotheses.ts'
import { bridgePlaces, swappablePairs } from '../../src/diagnosis/neighbours.ts'
import { kitValues } from '../../src/diagnosis/parts.ts'
import { suspicionKinds } from '../../src/model/suspect.ts'
import { plover } from '../circuit/read-product.ts'
import { textbook, textbookNames } from './bench.ts'

describe('what may be wrong with a board', () => {
  const { hypotheses, none } = hypothesesOf(plover)

  it('is 400 things or more for the Plover, of every kind, each once', () => {
    expect(hypotheses.length).toBeGreaterThanOrEqual(400)
    expect(new Set(hypotheses.map((h) => h.kind))).toEqual(new Set(suspicionKinds))
    expect(new Set(hypotheses.map((h) => h.id)).size).toBe(hypotheses.length)
  })

  it('has probabilities that add up to one, with none of these', () => {
    // Sum of some hundred doubles: rounding of a few 1e-16 each.
    expect(hypotheses.reduce((sum, h) => sum + h.weight, none)).toBeCloseTo(1, 12)
  })

  it('takes every other value of the same kit as a wrong part, and no value of another kit', () => {
    const resistors = plover.circuit.elements.flatMap((e) => (e.kind === 'resistor' && e.place === 'board' ? [e] : []))
    const values = kitValues(plover.circuit).get('resistor') ?? []
    // By hand from the product file: 470, 1k, 6.8k, 10k, 15k, 18k, 47k, 100k, 1M.
    expect(values).toEqual([470, 1e3, 6.8e3, 1e4, 1.5e4, 1.8e4, 4.7e4, 1e5, 1e6])
    const wrong = hypotheses.filter((h) => h.kind === 'wrong-part' && h.designators[0].startsWith('R'))
    expect(wrong).toHaveLength(resistors.length * (values.length - 1))
  })

  it('swaps neighbours of one kit only', () => {
    for (const [a, b] of swappablePairs(plover.circuit, plover.board)) {
      expect(a.kind).toBe(b.kind)
      expect(a.value).not.toBe(b.value)
    }
    // Side by side, and at the two ends, of a board made for this test.
    const pad = { pads: [], rotationDeg: 0, side: 'top' as const, body: 'axial' as const, yMm: 5 }
    const placements = [
      { designator: 'R7', xMm: 5, ...pad },
      { designator: 'R9', xMm: 9, ...pad },
      { designator: 'R10', xMm: 50, ...pad },
    ]
    const pairs = swappablePairs(plover.circuit, { widthMm: 60, heightMm: 10, placements }).map(
      ([a, b]) => `${a.designator} ${b.designator}`,
    )
    expect(pairs).toContain('R7 R9')
    expect(pairs).not.toContain('R9 R10')
  })

  it('bridges neighbouring pads: pins 1 and 2 of the op-amp, but not 1 and 8 across it', () => {
    const keys = bridgePlaces(plover.circuit, plover.board).map(({ nodes }) => [...nodes].sort().join(' '))
    expect(keys).toContain('gain minus')
    expect(keys).not.toContain('gain vcc')
  })

  it.each(textbookNames())('works without a board: %s', (name) => {
    const product = textbook(name)
    const set = hypothesesOf(product)
    expect(set.hypotheses.length).toBeGreaterThan(100)
    expect(set.hypotheses.reduce((sum, h) => sum + h.weight, set.none)).toBeCloseTo(1, 12)
    expect(set.hypotheses.filter((h) => h.kind === 'rig-pin').map((h) => h.nodes[0])).toContain(product.circuit.output)
  })

  it('takes weights from a workshop that knows better, and refuses negative ones', () => {
    const swapped = (weight?: number) =>
      hypothesesOf(plover, weight === undefined ? {} : { swapped: weight })
        .hypotheses.filter((h) => h.kind === 'swapped')
        .reduce((sum, h) => sum + h.weight, 0)
    expect(swapped(60)).toBeGreaterThan(3 * swapped())
    expect(() => hypothesesOf(plover, { open: -1 })).toThrow(/cannot be negative/)
  })
})
