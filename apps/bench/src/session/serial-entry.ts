import { Serial } from '@boardwright/core'
import type { BenchKey } from '../hooks/use-bench-keys.ts'

/** What stands in the serial number field. */
export interface SerialEntry {
  /** undefined: nothing was typed, the next unit to test is offered. */
  typed?: string
  /** True once a typed or scanned serial number was confirmed with Enter. */
  accepted: boolean
  /** Why the typed text is no serial number. */
  problem?: string
  /** When it was confirmed, ms: a scanner that sends two line ends must not start a test. */
  acceptedAtMs: number
}

export const emptyEntry: SerialEntry = { accepted: false, acceptedAtMs: 0 }

/** How long after a scan a second Enter still counts as the scanner's. */
const scannerTailMs = 250

export type EntryStep = { entry: SerialEntry; start?: string }

function enter(entry: SerialEntry, offered: string | undefined, nowMs: number): EntryStep {
  if (entry.typed === undefined) return { entry, start: offered }
  if (entry.accepted) return nowMs - entry.acceptedAtMs < scannerTailMs ? { entry } : { entry, start: entry.typed }
  if (entry.typed === '') return { entry: emptyEntry }
  const parsed = Serial.safeParse(entry.typed)
  if (!parsed.success)
    return { entry: { ...entry, problem: `"${entry.typed}" is no serial number: ${parsed.error.issues[0].message}` } }
  return { entry: { typed: parsed.data, accepted: true, acceptedAtMs: nowMs } }
}

/**
 * One key in the serial number field.
 * @returns the field after it, and `start` with the serial number when the key starts a test
 */
export function stepSerialEntry(
  entry: SerialEntry,
  event: { key: BenchKey; offered?: string; nowMs: number },
): EntryStep {
  const { key, offered, nowMs } = event
  switch (key.name) {
    case 'enter':
    case 'space':
      return enter(entry, offered, nowMs)
    case 'escape':
      return { entry: emptyEntry }
    case 'backspace': {
      const text = (entry.typed ?? offered ?? '').slice(0, -1)
      return { entry: { ...emptyEntry, typed: text } }
    }
    case 'text': {
      const begun = entry.accepted ? '' : (entry.typed ?? '')
      const typed = (begun + key.text.toUpperCase().replaceAll('/', '')).slice(0, 32)
      return { entry: { ...emptyEntry, typed } }
    }
    default:
      return { entry }
  }
}
