import { describe, expect, it } from 'vitest'
import { BoardwrightError } from '../../src/model/error.ts'
import { checkProduct } from '../../src/model/parse-product.ts'
import type { Placement } from '../../src/model/placement.ts'
import { plover } from '../circuit/read-product.ts'

const withPlacement = (change: (placements: Placement[]) => void) => {
  const product = structuredClone(plover)
  change(product.board!.placements)
  return () => checkProduct(product)
}

describe('the board of a product', () => {
  it('places every part of the Plover but those of the rig', () => {
    const placed = new Set(plover.board!.placements.map((p) => p.designator))
    const parts = plover.circuit.elements
      .filter((e) => !('place' in e) || e.place === 'board')
      .map((e) => (e.kind === 'op-amp' ? e.designator.replace(/[A-Z]$/, '') : e.designator))
    expect([...new Set(parts)].filter((d) => !placed.has(d))).toEqual([])
  })

  it('gives every pin of every part a pad', () => {
    for (const { designator, pads } of plover.board!.placements) {
      const elements = plover.circuit.elements.filter(
        (e) => e.designator === designator || e.designator.replace(/[A-Z]$/, '') === designator,
      )
      const nodes = new Set(elements.flatMap((e) => (e.kind === 'op-amp' ? [...e.nodes, ...e.supplyNodes] : e.nodes)))
      expect(new Set(pads.map((p) => p.node)), designator).toEqual(nodes)
    }
  })

  it('keeps parts off each other: no two pads nearer than a pad is wide', () => {
    const pads = plover.board!.placements.flatMap((p) => p.pads.map((pad) => ({ ...pad, designator: p.designator })))
    pads.forEach((a, i) => {
      for (const b of pads.slice(i + 1))
        expect(Math.hypot(a.xMm - b.xMm, a.yMm - b.yMm), `${a.designator} and ${b.designator}`).toBeGreaterThan(1.8)
    })
  })

  it('may be left out', () => {
    const { board, ...rest } = structuredClone(plover)
    expect(board).toBeDefined()
    expect(checkProduct(rest).board).toBeUndefined()
  })

  const mistakes: [string, (part: Placement, others: Placement[]) => void, RegExp][] = [
    [
      'an unknown designator',
      (part) => {
        part.designator = 'R99'
      },
      /no part "R99"/,
    ],
    ['a part placed twice', (part, others) => others.push(part), /placed twice/],
    [
      'a pad at a node that the part does not touch',
      (part) => {
        part.pads[0].node = 'half'
      },
      /C3 does not touch "half"/,
    ],
    [
      'a part beside the board',
      (part) => {
        part.xMm = plover.board!.widthMm + 1
      },
      /beside the board/,
    ],
    [
      'a pad beside the board',
      (part) => {
        part.pads[0].yMm = -1
      },
      /beside the board/,
    ],
  ]
  it.each(mistakes)('refuses %s, and names it', (_what, change, words) => {
    const check = withPlacement((placements) => change(placements.find((p) => p.designator === 'C3')!, placements))
    expect(check).toThrow(BoardwrightError)
    expect(check).toThrow(words)
  })
})
