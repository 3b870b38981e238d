import { describe, expect, test } from 'vitest'
import plover from '../../../../shared/products/plover.json' with { type: 'json' }
import { meantPads } from '../../src/model/meant-pads.ts'
import { BoardLayout } from '../../src/model/placement.ts'
import { suspectMarks } from '../../src/model/suspect-marks.ts'

const board = BoardLayout.parse(plover.board)
const shown = (nodes: string[]) =>
  meantPads(board, nodes)
    .map(({ designator, pad }) => `${designator}.${pad.pin}`)
    .sort()

describe('pads that a suspicion is about', () => {
  test('a bridge: the two pins of the op-amp side by side, and not the other pads of these nodes', () => {
    // U1's pins 2 and 3 are 2.54 mm apart; R4 and C4 reach "plus" farther off.
    expect(shown(['minus', 'plus'])).toEqual(['U1.2', 'U1.3'])
  })

  test('nodes that are nowhere near: the nearest two pads', () => {
    expect(shown(['battery', 'out'])).toHaveLength(2)
  })

  test('a pin of the rig: every pad at its node', () => {
    expect(shown(['out'])).toEqual(['R12.2', 'R13.1'])
    expect(shown([])).toEqual([])
  })
})

describe('marks of a suspect', () => {
  const suspicion = { id: 'x', words: '', expected: null, found: null, probability: 1, nodes: ['minus', 'plus'] }
  test('solder between pads lights the pads, not the parts', () => {
    const suspicions = [
      { ...suspicion, kind: 'bridge' as const, designators: ['U1'] },
      { ...suspicion, kind: 'short' as const, designators: ['R4'] },
    ]
    expect(suspectMarks({ suspicions, designators: ['U1', 'R4'] })).toEqual({
      lit: [],
      also: ['U1', 'R4'],
      nodes: ['minus', 'plus'],
    })
  })
  test('a part lights the part; what cannot be told from it is marked apart', () => {
    const open = (name: string, probability: number) => ({
      ...suspicion,
      kind: 'open' as const,
      designators: [name],
      probability,
    })
    const group = (sharePart: number) =>
      suspectMarks({ suspicions: [open('P2', 0.6), open('C9', sharePart)], designators: ['P2', 'C9'] })
    expect(group(0.3)).toEqual({ lit: ['P2'], also: ['C9'], nodes: [] })
    // C9 was measured by itself and is sound: a hundredth is left to it.
    expect(group(0.003)).toEqual({ lit: ['P2'], also: [], nodes: [] })
  })
})
