import { readFileSync } from 'node:fs'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { findJsonFault } from '../../src/model/json-fault.ts'
import { parseProduct } from '../../src/model/parse-product.ts'

const plover = readFileSync(new URL('../../../../shared/products/plover.json', import.meta.url), 'utf8')
const messageOf = (run: () => unknown): string => {
  try {
    run()
  } catch (error) {
    expect((error as { code?: string }).code).toBe('bad-product')
    return (error as Error).message
  }
  return expect.unreachable() as never
}

describe('the demo product', () => {
  it('is read, with the counts that its description promises', () => {
    const product = parseProduct(plover)
    const count = (kind: string) => product.circuit.elements.filter((e) => e.kind === kind).length
    expect(product.name).toBe('Plover')
    expect(count('resistor')).toBeGreaterThanOrEqual(12)
    expect(count('capacitor')).toBeGreaterThanOrEqual(8)
    expect(count('potentiometer')).toBe(2)
    expect(product.testPlan.settings).toEqual(['max', 'min'])
  })
  it('is read with a byte order mark in front', () => expect(parseProduct(`\uFEFF${plover}`).id).toBe('plover'))
})

describe('a damaged product file', () => {
  it('gives line and column of a syntax error', () => {
    expect(messageOf(() => parseProduct('{\n  "id": "x",\n}', { source: 'x.json' }))).toBe(
      'x.json is not JSON at line 3, column 1: expected a name in double quotes.',
    )
    expect(messageOf(() => parseProduct('abc'))).toContain('line 1, column 1')
    expect(messageOf(() => parseProduct(plover.slice(0, -3)))).toMatch(/line \d+, column \d+/)
  })
  it('names every wrong path in one error, and the part where there is one', () => {
    const data = JSON.parse(plover)
    data.testPlan.levelV = -1
    data.testPlan.settings = ['max', 'loud']
    const index = data.circuit.elements.findIndex((e: { designator: string }) => e.designator === 'R5')
    data.circuit.elements[index].value = true
    const message = messageOf(() => parseProduct(JSON.stringify(data)))
    expect(message).toContain('testPlan.levelV')
    expect(message).toContain(`circuit.elements[${index}].value (R5)`)
  })
  it('names a setting that does not exist and what there is', () => {
    const data = JSON.parse(plover)
    data.testPlan.settings = ['max', 'loud']
    expect(messageOf(() => parseProduct(JSON.stringify(data)))).toContain('no setting is called "loud"; there are: max')
  })
})

describe('finding the place of a JSON fault', () => {
  it('agrees with the engine on what is JSON', () => {
    const texts = fc.oneof(
      fc.json(),
      fc.string(),
      fc.json().chain((t) => fc.nat(t.length).map((n) => t.slice(0, n))),
      fc
        .json()
        .chain((t) =>
          fc.tuple(fc.nat(t.length), fc.string({ maxLength: 2 })).map(([n, s]) => t.slice(0, n) + s + t.slice(n)),
        ),
    )
    fc.assert(
      fc.property(texts, (text) => {
        let valid = true
        try {
          JSON.parse(text)
        } catch {
          valid = false
        }
        expect(findJsonFault(text) === undefined).toBe(valid)
      }),
      { numRuns: 1000 },
    )
  })
})
