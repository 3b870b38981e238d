import type { Reason, Verdict } from '@boardwright/core'

/** The verdict as the command line says it; sign and word, no colour. */
export const verdictWords: Record<Verdict, string> = { pass: '✓ PASS', fail: '✗ FAIL', repeat: '↻ REPEAT' }

/** Reasons one a line; those that decided come first. */
export function reasonLines(what: { verdict: Verdict; reasons: readonly Reason[] }): string[] {
  const decisive = what.reasons.filter((reason) => reason.verdict === what.verdict)
  const others = what.reasons.filter((reason) => reason.verdict !== what.verdict)
  return [...decisive, ...others].map((reason) => `  ${verdictWords[reason.verdict].charAt(0)} ${reason.message}`)
}
