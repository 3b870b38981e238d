import { BoardwrightError } from '../../model/error.ts'
import type { Product } from '../../model/product.ts'
import { lastSerialNumber, makeSerial, readSerialByPattern, serialPatternOf } from '../../model/serial-pattern.ts'
import type { VerbContext } from '../verb-context.ts'

/**
 * The next serial numbers of a product: after the highest that any unit has, so none is given twice, also when a unit was
 * scrapped. Labels that are out already but not in this file (after an older backup was taken back) are passed over by
 * `firstNumber`. Errors: bad-argument, serials-used-up.
 */
export function nextSerials(
  { store }: Pick<VerbContext, 'store'>,
  what: { product: Product; units: number; firstNumber?: number },
): string[] {
  const pattern = serialPatternOf(what.product)
  const beginning = pattern.slice(0, pattern.indexOf('#'))
  const used = store.builds
    .serialsBeginning(beginning)
    .map((serial) => readSerialByPattern(pattern, serial).number ?? 0)
  const free = used.reduce((most, number) => Math.max(most, number), 0) + 1
  const first = what.firstNumber ?? free
  if (!Number.isInteger(first) || first < free)
    throw new BoardwrightError(
      'bad-argument',
      `The next serial number that is free is number ${free}, so ${first} cannot be the first.`,
    )
  const last = first + what.units - 1
  if (last > lastSerialNumber(pattern))
    throw new BoardwrightError(
      'serials-used-up',
      `The serial pattern "${pattern}" ends at ${lastSerialNumber(pattern)}; this build would need ${last}.`,
    )
  return Array.from({ length: what.units }, (_, i) => makeSerial(pattern, first + i))
}
