import { describe, expect, it } from 'vitest'
import { answerKind, numberAnswer, readMeter } from '../src/session/check-answer.ts'
import { shareBar } from '../src/text/share-bar.ts'
import { suspectName } from '../src/text/suspect-words.ts'

describe('a reading copied from a meter', () => {
  it.each([
    ['4.35', 'V', 4.35],
    ['4,35 V', 'V', 4.35],
    ['-12 mV', 'V', -0.012],
    ['\u22120.5', 'V', -0.5],
    ['0.52', 'mA', 0.00052],
    ['520 uA', 'mA', 0.00052],
    ['520\u03bcA', 'mA', 0.00052],
    ['0.001 A', 'mA', 0.001],
  ] as const)('%s in %s', (text, unit, value) => expect(readMeter(text, unit)).toBeCloseTo(value, 12))

  it.each([
    ['', 'V'],
    ['4.3.5', 'V'],
    ['4.35 mA', 'V'],
    ['12 V', 'mA'],
    ['many', 'mA'],
    ['1e9', 'V'],
  ] as const)('refuses "%s" in %s', (text, unit) => expect(readMeter(text, unit)).toBeUndefined())

  it('goes to the node of the check', () => {
    const check = { setting: 'max', designator: null }
    expect(numberAnswer({ ...check, kind: 'voltage', node: 'half' }, 4.4)).toEqual({ nodeVoltagesV: { half: 4.4 } })
    expect(numberAnswer({ ...check, kind: 'supply-current', node: null }, 1e-3)).toEqual({ supplyCurrentA: 1e-3 })
    expect(answerKind({ ...check, kind: 'probe', node: 'sum' })).toEqual({ kind: 'sweep', setting: 'max', node: 'sum' })
    // A further setting is read at the output, whatever node the check names.
    expect(answerKind({ ...check, kind: 'setting', node: 'sum' })).toMatchObject({ node: null })
  })
})

describe('in the list', () => {
  it('a bar is as long as the share', () => {
    expect(shareBar({ share: 0.5, columns: 10 })).toBe('█████·····')
    expect(shareBar({ share: 0, columns: 4 })).toBe('····')
    expect(shareBar({ share: 1, columns: 4 })).toBe('████')
    expect([...shareBar({ share: 0.71, columns: 9 })]).toHaveLength(9)
  })

  const suspicion = { id: 'x', nodes: [], words: '', expected: '33 nF', probability: 0.7 }
  it.each([
    [{ kind: 'wrong-part', designators: ['C7'], found: '3.3 nF' }, ['C7'], 'C7 3.3 nF'],
    [{ kind: 'wrong-value', designators: ['C7'], found: 'about 3.5 nF' }, ['C7'], 'C7 ~3.5 nF'],
    [{ kind: 'open', designators: ['P2'], found: null }, ['P2', 'C9'], 'P2 or C9'],
    [{ kind: 'open', designators: ['R5'], found: null }, ['R5', 'R6', 'C5', 'U1A'], 'R5 or 3 more'],
    [{ kind: 'swapped', designators: ['R3', 'R4'], found: null }, ['R3', 'R4'], 'R3+R4 swapped'],
  ] as const)('%o is named shortly', (one, all, name) => {
    const others = all.filter((part) => !(one.designators as readonly string[]).includes(part))
    const suspicions = [
      { ...suspicion, ...one, designators: [...one.designators] },
      ...others.map((part) => ({ ...suspicion, kind: 'open' as const, designators: [part], found: null })),
    ]
    expect(suspectName({ suspicions, designators: [...all], rig: false })).toBe(name)
  })
})
