import { useRef, useState } from 'react'
import type { BenchKey } from './use-bench-keys.ts'

/** One line of typed text. `now` is what was typed up to the last key: several keys can come before the next drawing. */
export function useTypedText({ most }: { most: number }) {
  const [shown, setShown] = useState('')
  const now = useRef('')
  const set = (text: string) => {
    now.current = text.slice(0, most)
    setShown(now.current)
  }
  const onKey = (key: BenchKey): boolean => {
    if (key.name === 'text') set(now.current + key.text)
    else if (key.name === 'space' && now.current) set(`${now.current} `)
    else if (key.name === 'backspace') set(now.current.slice(0, -1))
    else return false
    return true
  }
  return { shown, now, onKey, clear: () => set('') }
}
