import { z } from 'zod'

/** A price of parts: integer minor units of an ISO 4217 currency, for so many pieces, since one piece may cost less than one. */
export const PartPrice = z.object({
  amountMinor: z.number().int().nonnegative(),
  currency: z.string().regex(/^[A-Z]{3}$/, 'write the currency as three capitals, such as EUR'),
  perPieces: z.number().int().positive().default(1),
})
export type PartPrice = z.infer<typeof PartPrice>

// Source: ISO 4217, list one (table of the check data of this project); every other currency has two.
const unusualDigits: Readonly<Record<number, readonly string[]>> = {
  0: 'BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UGX UYI VND VUV XAF XOF XPF'.split(' '),
  3: 'BHD IQD JOD KWD LYD OMR TND'.split(' '),
  4: ['CLF', 'UYW'],
}

/** How many decimals the minor unit of a currency has. Source: ISO 4217. */
export const minorDigits = (currency: string): number =>
  Number(Object.entries(unusualDigits).find(([, codes]) => codes.includes(currency))?.[0] ?? 2)

/** A price for one piece, such as "0.012": exact, with more decimals than the currency has it is kept for 10, 100 ... pieces. */
export function partPrice(decimal: string, currency: string): PartPrice | undefined {
  const match = /^(\d{1,9})(?:\.(\d{1,6}))?$/.exec(decimal.trim())
  const code = currency.trim().toUpperCase()
  if (!match || !/^[A-Z]{3}$/.test(code)) return undefined
  const fraction = (match[2] ?? '').replace(/0+$/, '')
  const digits = minorDigits(code)
  const beyond = Math.max(0, fraction.length - digits)
  const amountMinor = Number(match[1] + fraction.padEnd(digits, '0'))
  return { amountMinor, currency: code, perPieces: 10 ** beyond }
}

/** A price in words: "0.38 EUR", "1.20 EUR for 100". */
export function formatPartPrice({ amountMinor, currency, perPieces }: PartPrice): string {
  const digits = minorDigits(currency)
  const text = String(amountMinor).padStart(digits + 1, '0')
  const amount = digits === 0 ? text : `${text.slice(0, -digits)}.${text.slice(-digits)}`
  return `${amount} ${currency}${perPieces === 1 ? '' : ` for ${perPieces}`}`
}
