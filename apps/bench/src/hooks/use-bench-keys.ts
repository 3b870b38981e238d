import { useInput } from 'ink'

export type BenchKey =
  | { name: 'enter' | 'space' | 'escape' | 'tab' | 'backspace' | 'up' | 'down' | 'left' | 'right' }
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

const ofCharacter: Record<string, KeyName> = { '\r': 'enter', '\n': 'enter', '\t': 'tab', ' ': 'space' }

/** A scanner's keys can arrive in one piece, `PLV-0042` and Enter together: takes it apart. */
export function splitKeys(input: string): BenchKey[] {
  const keys: BenchKey[] = []
  for (const character of input) {
    const name = ofCharacter[character]
    const last = keys.at(-1)
    if (name) keys.push({ name })
    else if (character < ' ' || character === '\x7f') continue
    else if (last?.name === 'text') last.text += character
    else keys.push({ name: 'text', text: character })
  }
  return keys
}

/** Calls `onKey` for every key, in order. */
export function useBenchKeys(onKey: (key: BenchKey) => void, options: { active?: boolean } = {}) {
  useInput(
    (input, key) => {
      const match = named.find(([ink]) => key[ink])
      if (match) onKey({ name: match[1] })
      else if (!key.ctrl && !key.meta) for (const one of splitKeys(input)) onKey(one)
    },
    { isActive: options.active ?? true },
  )
}
