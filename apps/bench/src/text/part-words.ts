import { formatPartPrice, type LotInStock, type LotState, type Part } from '@boardwright/core'

/** States of a lot as one reads them. */
export const lotStateWords: Readonly<Record<LotState, string>> = {
  accepted: 'accepted',
  held: 'held',
  refused: 'refused',
  'awaiting-inspection': 'awaits inspection',
}

/** A part in one line: number, value, tolerance. */
export function partWords({ number, value, tolerance }: Pick<Part, 'number' | 'value' | 'tolerance'>): string {
  const percent = (share: number) => `${Number((100 * share).toPrecision(4))} %`
  const within =
    tolerance === undefined
      ? ''
      : typeof tolerance === 'number'
        ? ` ±${percent(tolerance)}`
        : ` ${percent(tolerance[0]).replace('-', '\u2212')} +${percent(tolerance[1])}`
  return `${number}${value ? `  ${value}${within}` : ''}`
}

/** What is known of a delivery. */
export const lotWords = ({ supplier, dateCode, price }: LotInStock): string =>
  [dateCode && `date code ${dateCode}`, supplier, price && formatPartPrice(price)].filter(Boolean).join(', ')
