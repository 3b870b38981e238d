import { createHash } from 'node:crypto'

/** Crockford's base 32: no I, L, O, U, so that a number read aloud or from paper is not misread. */
const digits = '0123456789ABCDEFGHJKMNPQRSTVWXYZ'

/**
 * The number of a test run: "R-", the moment in milliseconds (9 digits, so that numbers sort by time), a hyphen, and 4
 * digits out of serial number and journal number. A number in sequence would be given twice after an older backup is
 * taken back, once on a paper that is out already.
 */
export function makeRunId(options: { at: Date; serial: string; journalSeq: number }): string {
  let time = options.at.getTime()
  let head = ''
  for (let i = 0; i < 9; i++) {
    head = digits[time % 32] + head
    time = Math.floor(time / 32)
  }
  const hash = createHash('sha256').update(`${options.serial} ${options.journalSeq}`).digest()
  const tail = Array.from(hash.subarray(0, 4), (byte) => digits[byte % 32]).join('')
  return `R-${head}-${tail}`
}
