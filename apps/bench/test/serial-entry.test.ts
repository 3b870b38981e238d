import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { splitKeys } from '../src/hooks/use-bench-keys.ts'
import { emptyEntry, type SerialEntry, stepSerialEntry } from '../src/session/serial-entry.ts'

/** Sends chunks as a terminal would deliver them; the clock stands at `nowMs` for each. */
function type(chunks: { text: string; nowMs?: number }[], offered?: string) {
  let entry: SerialEntry = emptyEntry
  const started: string[] = []
  for (const { text, nowMs = 1000 } of chunks)
    for (const key of splitKeys(text)) {
      const step = stepSerialEntry(entry, { key, offered, nowMs })
      entry = step.entry
      if (step.start !== undefined) started.push(step.start)
    }
  return { entry, started }
}

describe('serial number field', () => {
  it('starts the offered unit with one key', () => {
    expect(type([{ text: '\r' }], 'PLV-0042').started).toEqual(['PLV-0042'])
    expect(type([{ text: ' ' }], 'PLV-0042').started).toEqual(['PLV-0042'])
  })

  it('takes a scan without starting: the board is not on the rig yet', () => {
    const { entry, started } = type([{ text: 'plv-0007\r\n' }], 'PLV-0042')
    expect(started).toEqual([])
    expect(entry).toMatchObject({ typed: 'PLV-0007', accepted: true })
  })

  it('starts the scanned unit with the next key', () => {
    expect(type([{ text: 'PLV-0007\r' }, { text: '\r', nowMs: 2000 }], 'PLV-0042').started).toEqual(['PLV-0007'])
  })

  it('does not care in how many pieces a scan arrives', () => {
    fc.assert(
      fc.property(
        fc.stringMatching(/^[A-Z0-9]([A-Z0-9-]{0,30}[A-Z0-9])?$/),
        fc.array(fc.nat(32), { maxLength: 6 }),
        (serial, cuts) => {
          const whole = `${serial}\r`
          const at = [...new Set([0, ...cuts.map((cut) => cut % whole.length), whole.length])].sort((a, b) => a - b)
          const pieces = at.slice(1).map((end, i) => ({ text: whole.slice(at[i], end) }))
          expect(type(pieces).entry).toMatchObject({ typed: serial, accepted: true })
        },
      ),
    )
  })

  it('a new scan replaces an accepted one', () => {
    expect(type([{ text: 'PLV-0007\r' }, { text: 'PLV-0008\r' }]).entry.typed).toBe('PLV-0008')
  })

  it('says why something is no serial number', () => {
    const { entry, started } = type([{ text: 'a_b\r' }])
    expect(started).toEqual([])
    expect(entry.problem).toMatch(/"A_B" is no serial number/)
  })

  it('nothing to start where no unit waits, and an emptied field goes back to the offer', () => {
    expect(type([{ text: '\r' }]).started).toEqual([])
    expect(type([{ text: '/' }, { text: '\r' }], 'PLV-1').entry).toEqual(emptyEntry)
  })
})
