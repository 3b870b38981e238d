import { partPrice } from '../../model/price.ts'

/** A cell that cannot be read: a sentence for the report. */
export class CellError extends Error {
  readonly field: string

  constructor(field: string, message: string) {
    super(message)
    this.field = field
  }
}

/** A decimal comma becomes a point, in a table whose columns are not parted by commas. */
export const plainDecimal = (text: string, delimiter: string): string =>
  delimiter === ',' ? text : text.replace(/(?<=\d),(?=\d)/g, '.')

/** A whole number of pieces or days. */
export function readCount(field: string, text: string): number {
  const bare = text.replace(/(?<=\d)[ '](?=\d{3}\b)/g, '')
  if (!/^\d{1,9}$/.test(bare)) throw new CellError(field, `"${text}" is no whole number.`)
  return Number(bare)
}

const lengths = { mm: 1, in: 25.4, mil: 0.0254 } as const

/** A length in mm: bare, or with mm, in or mil after it. */
export function readLengthMm(field: string, text: string): number {
  const match = /^([+-]?(?:\d+\.?\d*|\.\d+))\s*(mm|in|mil)?$/i.exec(text)
  if (!match) throw new CellError(field, `"${text}" is no length such as "10.16" or "10.16 mm".`)
  const factor = lengths[(match[2]?.toLowerCase() ?? 'mm') as keyof typeof lengths]
  return Number((Number(match[1]) * factor).toPrecision(12))
}

/** An angle in degrees. */
export function readAngleDeg(field: string, text: string): number {
  const match = /^([+-]?(?:\d+\.?\d*|\.\d+))\s*(?:deg|\u00b0)?$/i.exec(text)
  if (!match) throw new CellError(field, `"${text}" is no angle such as "90".`)
  return Number(match[1])
}

/** A tolerance in per cent, "1 %", "±5 %" or "-20/+50 %", as a share or as shares below and above. */
export function readTolerance(field: string, text: string): number | [number, number] {
  const bare = text.replace(/\u2212/g, '-').replace(/\s/g, '')
  const share = (percent: string) => Number((Number(percent) / 100).toPrecision(12))
  const even = /^(?:\u00b1|\+\/-|\+-)?(\d+(?:\.\d+)?)%$/.exec(bare)
  if (even) return share(even[1]!)
  const uneven = /^-(\d+(?:\.\d+)?)%?\/?\+(\d+(?:\.\d+)?)%$/.exec(bare)
  if (uneven) return [-share(uneven[1]!), share(uneven[2]!)]
  throw new CellError(field, `"${text}" is no tolerance such as "1 %" or "-20/+50 %".`)
}

/** A price for one piece: "0.38 EUR", "EUR 0.38", or "0.38" with the currency in a column of its own. */
export function readPrice(field: string, text: string, currency?: string) {
  const match = /^([A-Za-z]{3})?\s*([\d.]+)\s*([A-Za-z]{3})?$/.exec(text)
  const code = match?.[1] ?? match?.[3] ?? currency
  const price = match && code && partPrice(match[2]!, code)
  if (!price) throw new CellError(field, `"${text}" is no price with its currency, such as "0.38 EUR".`)
  return price
}

/** Yes or no. */
export function readYes(field: string, text: string): boolean {
  if (/^(yes|y|true|1|x)$/i.test(text)) return true
  if (/^(no|n|false|0|-)$/i.test(text)) return false
  throw new CellError(field, `"${text}" is neither yes nor no.`)
}
