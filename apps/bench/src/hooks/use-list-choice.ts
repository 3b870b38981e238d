import { useState } from 'react'
import type { BenchKey } from './use-bench-keys.ts'

/** Which line of a list is chosen, and which stretch of the list is on the screen. */
export function useListChoice(list: { length: number; visible: number }) {
  const [wanted, setWanted] = useState(0)
  const clamp = (index: number) => Math.max(0, Math.min(index, list.length - 1))
  const chosen = clamp(wanted)
  const first = Math.max(0, Math.min(chosen - Math.floor(list.visible / 2), list.length - list.visible))
  const onKey = (key: BenchKey): boolean => {
    if (key.name !== 'up' && key.name !== 'down') return false
    // From what is wanted now, not from what was drawn last: held-down keys come faster than drawings.
    setWanted((now) => clamp(clamp(now) + (key.name === 'down' ? 1 : -1)))
    return true
  }
  return { chosen, first, onKey, restart: () => setWanted(0) }
}
