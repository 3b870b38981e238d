import type { TestPlan } from '../../model/product.ts'
import type { Reference } from '../../model/reference.ts'

/** Raised whenever the judge's own rules change, so that a stored verdict tells by which rules it was given. */
const judgeRulesVersion = 1

/** Raised whenever the whole-shape test or its model of healthy boards changes; it counts where the plan asks for the test. */
const shapeRulesVersion = 1

/** JSON with the keys of every object in order, so that equal data give an equal text. */
export function canonicalJson(value: unknown): string {
  if (Array.isArray(value)) return `[${value.map((v) => canonicalJson(v ?? null)).join(',')}]`
  if (value === null || typeof value !== 'object') return JSON.stringify(value ?? null)
  const entries = Object.entries(value)
    .filter(([, v]) => v !== undefined)
    .sort(([a], [b]) => (a < b ? -1 : 1))
  return `{${entries.map(([key, v]) => `${JSON.stringify(key)}:${canonicalJson(v)}`).join(',')}}`
}

/**
 * 64-bit FNV-1a hash of a text's UTF-8 bytes, 16 hexadecimal digits. It tells rules apart; it is no protection against
 * a forger. Source: Fowler, Noll, Vo, IETF draft "The FNV Non-Cryptographic Hash Algorithm", parameters of 64 bits.
 */
export function fnv1a64(text: string): string {
  let hash = 0xcbf29ce484222325n
  // Percent-encoding spells out the UTF-8 bytes without a class that only browsers or only Node have.
  for (const [match, hex] of encodeURIComponent(text).matchAll(/%([0-9A-F]{2})|./g)) {
    const byte = hex === undefined ? match.charCodeAt(0) : Number.parseInt(hex, 16)
    hash = BigInt.asUintN(64, (hash ^ BigInt(byte)) * 0x100000001b3n)
  }
  return hash.toString(16).padStart(16, '0')
}

/**
 * Names the rules that a verdict was given by: test plan, reference (product, revision, version) and the judge's rules.
 * The order of keys does not matter, any changed value does.
 * @returns 16 hexadecimal digits
 */
export function planHash(options: {
  plan: TestPlan
  reference: Pick<Reference, 'productId' | 'revision' | 'version'>
}): string {
  const { productId, revision, version } = options.reference
  const rules = options.plan.shape ? { shapeRules: shapeRulesVersion } : {}
  // When the rig is to be proven is no rule of a verdict.
  const { rigCheck: _, ...plan } = options.plan
  return fnv1a64(
    canonicalJson({
      plan,
      reference: { productId, revision, version },
      rules: judgeRulesVersion,
      ...rules,
    }),
  )
}
