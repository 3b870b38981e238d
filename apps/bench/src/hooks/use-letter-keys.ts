import { useEffect, useRef } from 'react'
import type { BenchKey } from './use-bench-keys.ts'

// A scanner sends its next key within some milliseconds; a person who wants to leave presses q and waits.
const holdMs = 250

export interface LetterKeys {
  /** Is no text being typed, so that a letter may be a command? */
  untouched: () => boolean
  onQuit: () => void
  onHelp: () => void
  onKey: (key: BenchKey) => void
}

/**
 * Tells the command keys `q` and `?` from the letters of a serial number that is being typed or scanned: `q` leaves the
 * bench only where nothing was typed and when no further key follows at once. No serial number contains `?`.
 */
export function useLetterKeys(keys: LetterKeys): (key: BenchKey) => void {
  const held = useRef<NodeJS.Timeout | undefined>(undefined)
  useEffect(() => () => clearTimeout(held.current), [])
  const latest = useRef(keys)
  latest.current = keys

  return (key) => {
    const { untouched, onQuit, onHelp, onKey } = latest.current
    if (key.name === 'text' && key.text === '?') return onHelp()
    if (held.current) {
      clearTimeout(held.current)
      held.current = undefined
      if (key.name === 'text') return onKey({ name: 'text', text: `q${key.text}` })
      onKey({ name: 'text', text: 'q' })
      return onKey(key)
    }
    if (key.name === 'text' && key.text.toLowerCase() === 'q' && untouched()) {
      held.current = setTimeout(() => {
        held.current = undefined
        onQuit()
      }, holdMs)
      return
    }
    onKey(key)
  }
}
