import { useEffect, useRef } from 'react'
import type { BenchKey } from './use-bench-keys.ts'

// A scanner sends its next key within some milliseconds; a person who wants to leave presses q and waits.
const holdMs = 250

export interface LetterKeys {
  /** Is no text being typed, so that a letter may be a command? */
  untouched: () => boolean
  onQuit: () => void
  onHelp: () => void
  /** Further commands by their letter, held back like `q`. */
  commands?: Record<string, () => void>
  onKey: (key: BenchKey) => void
}

/**
 * Tells command keys (`q`, those of `commands`, `?`) from the letters of a serial number that is being typed or scanned: a
 * command letter counts only where nothing was typed and when no further key follows at once. No serial number contains
 * `?`.
 */
export function useLetterKeys(keys: LetterKeys): (key: BenchKey) => void {
  const held = useRef<{ timer: NodeJS.Timeout; letter: string } | undefined>(undefined)
  useEffect(() => () => clearTimeout(held.current?.timer), [])
  const latest = useRef(keys)
  latest.current = keys

  return (key) => {
    const { untouched, onQuit, onHelp, commands, onKey } = latest.current
    if (key.name === 'text' && key.text === '?') return onHelp()
    if (held.current) {
      const { timer, letter } = held.current
      clearTimeout(timer)
      held.current = undefined
      if (key.name === 'text') return onKey({ name: 'text', text: `${letter}${key.text}` })
      onKey({ name: 'text', text: letter })
      return onKey(key)
    }
    const all: Record<string, () => void> = { ...commands, q: onQuit }
    const command = key.name === 'text' ? all[key.text.toLowerCase()] : undefined
    if (key.name === 'text' && command && untouched()) {
      const timer = setTimeout(() => {
        held.current = undefined
        command()
      }, holdMs)
      held.current = { timer, letter: key.text }
      return
    }
    onKey(key)
  }
}
