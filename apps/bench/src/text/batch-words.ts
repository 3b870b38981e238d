import type { Verdict } from '@boardwright/core'
import { verdictLook } from '../look.ts'
import type { LabelOutcome } from '../session/print-label.ts'

/** One board of a batch. */
export interface BatchResult {
  serial: string
  verdict: Verdict
  reason: string
  newUnit: boolean
  /** From the pedal to "take the board out", s. */
  boardS: number
  /** null: no label for this verdict; undefined: it is being made. */
  label: LabelOutcome | null | undefined
}

/** The middle value; NaN of nothing. */
export function median(values: readonly number[]): number {
  const sorted = values.toSorted((a, b) => a - b)
  const middle = sorted.length >> 1
  if (sorted.length === 0) return Number.NaN
  return sorted.length % 2 === 1 ? sorted[middle] : (sorted[middle - 1] + sorted[middle]) / 2
}

const boards = (count: number): string => (count === 1 ? '1 board' : `${count} boards`)

/** What stands over the list at the end: counts and times. */
export function summaryLines(results: readonly BatchResult[]): string[] {
  if (results.length === 0) return ['No board was measured.']
  const count = (verdict: Verdict) => results.filter((one) => one.verdict === verdict).length
  const times = results.map((one) => one.boardS)
  const missing = results.filter((one) => one.label?.problem !== undefined)
  const lines = [
    `${boards(results.length)}: ${count('pass')} pass, ${count('fail')} fail, ${count('repeat')} to repeat.`,
    `Board time ${median(times).toFixed(1)} s in the middle, ${Math.min(...times).toFixed(1)} to ${Math.max(...times).toFixed(1)} s.`,
  ]
  if (missing.length > 0)
    lines.push(`Labels to print again: ${missing.map((one) => one.serial).join(', ')} (boardwright label SERIAL).`)
  return lines
}

/** One board in a line: sign, serial number, time, and the reason of what was set aside. */
export function resultLine({ serial, verdict, boardS, reason, label }: BatchResult): string {
  const trouble = label?.problem ? `no label: ${label.problem}` : ''
  const words = verdict === 'pass' ? trouble : reason
  return `${verdictLook[verdict].sign} ${serial.padEnd(12)} ${boardS.toFixed(1).padStart(5)} s  ${words}`.trimEnd()
}
