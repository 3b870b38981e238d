import { describe, expect, it } from 'vitest'
import { applyFaults } from '../../src/circuit/apply-fault.ts'
import { drawBoard } from '../../src/circuit/draw-board.ts'
import { describeFault, Fault } from '../../src/circuit/fault.ts'
import { prepareCircuit } from '../../src/circuit/prepare-circuit.ts'
import { gainDbOf, responseOf } from '../../src/circuit/response.ts'
import { isBoardwrightError } from '../../src/model/error.ts'
import { plover } from './read-product.ts'

const positions = { bass: 1, treble: 1 }
const gainAt = (frequencyHz: number, faults: Fault[]) => {
  const board = drawBoard({ product: plover, seed: 1, spread: 'none', faults })
  return gainDbOf(
    responseOf({ netlist: board.netlist, values: board.values, positions, frequencyHz: [frequencyHz] }),
  )[0]
}

describe('a drawn board', () => {
  it('keeps every part within its tolerance, and reaches far into it', () => {
    const netlist = prepareCircuit(plover.circuit)
    const boards = Array.from({ length: 300 }, (_, seed) => drawBoard({ product: plover, seed }))
    netlist.parameters.forEach(({ name, nominal, spreadLow, spreadHigh }, p) => {
      const ratios = boards.map((b) => b.values[p] / nominal - 1)
      if (spreadLow === spreadHigh) {
        expect(new Set(boards.map((b) => b.values[p])).size, name).toBe(1)
        return
      }
      expect(Math.min(...ratios)).toBeGreaterThanOrEqual(spreadLow - 1e-12)
      expect(Math.max(...ratios)).toBeLessThanOrEqual(spreadHigh + 1e-12)
      expect(Math.max(...ratios) - Math.min(...ratios), name).toBeGreaterThan(0.9 * (spreadHigh - spreadLow))
    })
  })
  it('is the same for the same seed', () => {
    expect(drawBoard({ product: plover, seed: 5 }).values).toEqual(drawBoard({ product: plover, seed: 5 }).values)
  })
  it('shares its lots with boards of the same lot seed', () => {
    const correlation = (x: number[], y: number[]) => {
      const mean = (v: number[]) => v.reduce((a, b) => a + b, 0) / v.length
      const [mx, my] = [mean(x), mean(y)]
      const cov = (a: number[], b: number[], ma: number, mb: number) =>
        a.reduce((s, v, i) => s + (v - ma) * (b[i] - mb), 0)
      return cov(x, y, mx, my) / Math.sqrt(cov(x, x, mx, mx) * cov(y, y, my, my))
    }
    const draw = (seed: number, lotSeed: number) => {
      const board = drawBoard({ product: plover, seed, lotSeed })
      return board.values[board.netlist.index.get('C7') as number]
    }
    const lots = Array.from({ length: 300 }, (_, i) => i)
    // The circuit gives lots half of the variance.
    expect(
      correlation(
        lots.map((l) => draw(l, l)),
        lots.map((l) => draw(l + 5000, l)),
      ),
    ).toBeGreaterThan(0.35)
    expect(
      Math.abs(
        correlation(
          lots.map((l) => draw(l, l)),
          lots.map((l) => draw(l + 5000, l + 9000)),
        ),
      ),
    ).toBeLessThan(0.2)
  })
})

describe('faults', () => {
  it('do what they say', () => {
    const healthy = gainAt(1000, [])
    expect(gainAt(1000, [{ kind: 'value', designator: 'R6', value: '20 kohm' }])).toBeCloseTo(
      healthy - 20 * Math.log10(2 / 1.5),
      1,
    )
    expect(gainAt(1000, [{ kind: 'short', designator: 'R6' }])).toBeGreaterThan(healthy + 20)
    expect(gainAt(10_000, [{ kind: 'open', designator: 'C9' }])).toBeLessThan(gainAt(10_000, []) - 8)
    expect(gainAt(10_000, [{ kind: 'reversed', designator: 'P2' }])).toBeLessThan(gainAt(10_000, []) - 20)
    expect(gainAt(10_000, [{ kind: 'dead', designator: 'U1B' }])).toBeLessThan(gainAt(10_000, []) - 10)
    expect(gainAt(1000, [{ kind: 'pin-open', node: 'out' }])).toBeLessThan(healthy - 40)
    expect(gainAt(40, [{ kind: 'series-resistance', designator: 'C11', value: '22 kohm' }])).toBeLessThan(
      gainAt(40, []) - 0.1,
    )
    expect(gainAt(1000, [{ kind: 'swapped', designator: 'R7', with: 'R10' }])).not.toBeCloseTo(healthy, 1)
    expect(gainAt(1000, [{ kind: 'bridge', nodes: ['gain', 'tone'], value: 0.1 }])).not.toBeCloseTo(healthy, 1)
  })
  it('an open pot wiper is not an open track', () => {
    const open = drawBoard({ product: plover, seed: 1, faults: [{ kind: 'open', designator: 'P1' }] })
    expect(open.netlist.elements.find((e) => e.designator === 'P1')?.nodes[1]).toBe('z1')
  })
  it.each([
    [{ kind: 'open', designator: 'R99' }, 'R99'],
    [{ kind: 'dead', designator: 'R1' }, 'R1'],
    [{ kind: 'short', designator: 'U1A' }, 'U1A'],
    [{ kind: 'dried-out', designator: 'C7' }, 'C7'],
    [{ kind: 'bridge', nodes: ['out', 'nowhere'], value: 1 }, 'nowhere'],
    [{ kind: 'swapped', designator: 'R1', with: 'C1' }, 'R1'],
  ] as [Fault, string][])('that a part cannot have are refused by name: %j', (fault, name) => {
    try {
      applyFaults(plover.circuit, [fault])
      expect.unreachable()
    } catch (error) {
      expect(isBoardwrightError(error) && error.code).toBe('bad-circuit')
      expect((error as Error).message).toContain(name)
    }
  })
  it('are read from data and written in words', () => {
    const fault = Fault.parse({ kind: 'value', designator: 'C4', value: '4n7' })
    expect(describeFault(fault)).toBe('C4 is 4n7')
    expect(() => Fault.parse({ kind: 'melted', designator: 'C4' })).toThrow()
  })
})
