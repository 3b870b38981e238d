import { type Key, useInput } from 'ink'
import { useCallback, useRef } from 'react'

export type BenchKey =
  | { name: 'enter' | 'space' | 'escape' | 'tab' | 'back-tab' | 'backspace' | 'up' | 'down' | 'left' | 'right' }
  | { name: 'text'; text: string }

type KeyName = Exclude<BenchKey['name'], 'text'>

const named = [
  ['return', 'enter'],
  ['escape', 'escape'],
  ['tab', 'tab'],
  ['backspace', 'backspace'],
  ['delete', 'backspace'],
  ['upArrow', 'up'],
  ['downArrow', 'down'],
  ['leftArrow', 'left'],
  ['rightArrow', 'right'],
] as const

const ofCharacter: Record<string, KeyName> = {
  '\r': 'enter',
  '\n': 'enter',
  '\t': 'tab',
  ' ': 'space',
  // A held-down key comes in one piece too.
  '\x7f': 'backspace',
  '\b': 'backspace',
}

/** A scanner's keys can arrive in one piece, `PLV-0042` and Enter together: takes it apart. */
export function splitKeys(input: string): BenchKey[] {
  const keys: BenchKey[] = []
  for (const character of input) {
    const name = ofCharacter[character]
    const last = keys.at(-1)
    if (name) keys.push({ name })
    else if (character < ' ') continue
    else if (last?.name === 'text') last.text += character
    else keys.push({ name: 'text', text: character })
  }
  return keys
}

/**
 * Calls `onKey` for every key, in order. The listener stays the same from first to last, so that no key falls between two
 * drawings; a screen that is not `active` hears nothing.
 */
export function useBenchKeys(onKey: (key: BenchKey) => void, options: { active?: boolean } = {}) {
  const latest = useRef({ onKey, active: true })
  latest.current = { onKey, active: options.active ?? true }
  const listen = useCallback((input: string, key: Key) => {
    const hear = (one: BenchKey) => latest.current.active && latest.current.onKey(one)
    const match = named.find(([ink]) => key[ink])
    if (key.tab && key.shift) hear({ name: 'back-tab' })
    else if (match) hear({ name: match[1] })
    else if (!key.ctrl && !key.meta) for (const one of splitKeys(input)) hear(one)
  }, [])
  useInput(listen)
}
