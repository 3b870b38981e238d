import { planHash } from '@boardwright/core'
import { expect, test } from 'vitest'
import { canonicalJson, fnv1a64 } from '../../src/response/judge/plan-hash.ts'
import { planOf } from './judge-fixture.ts'

// Test vectors of the 64-bit FNV-1a hash as its authors publish them (from memory), and one of several bytes a letter.
test('FNV-1a of 64 bits', () => {
  expect(fnv1a64('')).toBe('cbf29ce484222325')
  expect(fnv1a64('a')).toBe('af63dc4c8601ec8c')
  expect(fnv1a64('foobar')).toBe('85944171f73967e8')
  expect(fnv1a64('Ω')).not.toBe(fnv1a64('?'))
})

test('canonical JSON does not depend on the order of keys, but on that of lists', () => {
  expect(canonicalJson({ b: [1, { d: 1, c: null }], a: 'x', e: undefined })).toBe('{"a":"x","b":[1,{"c":null,"d":1}]}')
  expect(canonicalJson([1, 2])).not.toBe(canonicalJson([2, 1]))
})

test('a plan hash names the rules: any change of plan or reference shows', () => {
  const reference = { productId: 'plover', revision: 'B', version: 3 }
  const plan = planOf()
  const hash = planHash({ plan, reference })
  expect(hash).toMatch(/^[0-9a-f]{16}$/)
  const shuffled = Object.fromEntries(Object.entries(plan).reverse()) as typeof plan
  expect(planHash({ plan: shuffled, reference })).toBe(hash)
  expect(planHash({ plan, reference: { ...reference, version: 4 } })).not.toBe(hash)
  expect(planHash({ plan: { ...plan, gainToleranceDb: 2.001 }, reference })).not.toBe(hash)
  expect(planHash({ plan: { ...plan, settings: ['min', 'max'] }, reference })).not.toBe(hash)
})
