import { describe, expect, it } from 'vitest'
import { csv } from '../src/text/csv.ts'

// Rules numbered as in RFC 4180, section 2.
describe('CSV of RFC 4180', () => {
  it('rule 1: each record ends with CRLF', () =>
    expect(
      csv([
        ['a', 1],
        ['b', 2],
      ]),
    ).toBe('a,1\r\nb,2\r\n'))
  it('rule 6: line breaks, quotes and commas are enclosed in quotes', () =>
    expect(csv([['a,b', 'c\r\nd', 'e']])).toBe('"a,b","c\r\nd",e\r\n'))
  it('rule 7: a quote inside is doubled', () => expect(csv([['say "A"']])).toBe('"say ""A"""\r\n'))
})
