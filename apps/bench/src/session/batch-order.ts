import type { Workshop } from '@boardwright/core/workshop'

/** PLV-0042 → PLV-0043; undefined when it ends in no number. */
export function serialAfter(serial: string): string | undefined {
  const match = /^(.*?)(\d+)$/.exec(serial)
  if (!match) return undefined
  const [, head, digits] = match
  return `${head}${String(BigInt(digits) + 1n).padStart(digits.length, '0')}`
}

/**
 * The unit that is expected next: the untested one that waits longest and has not been on the rig in this batch; where none
 * waits, the number after the last.
 * @param done serial numbers of this batch, oldest first
 */
export function nextInOrder(workshop: Workshop, productId: string, done: readonly string[]): string | undefined {
  const waiting = workshop
    .units({ state: 'untested' })
    .filter((unit) => unit.productId === productId && !done.includes(unit.serial))
    .sort((a, b) => (a.createdAt === b.createdAt ? (a.serial < b.serial ? -1 : 1) : a.createdAt < b.createdAt ? -1 : 1))
  if (waiting.length > 0) return waiting[0].serial
  const last = done.at(-1)
  return last === undefined ? undefined : serialAfter(last)
}
