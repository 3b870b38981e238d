import { useEffect } from 'react'

/** The browser asks back before it throws recordings away. */
export function useWarning(active: boolean): void {
  useEffect(() => {
    if (!active) return
    const ask = (event: BeforeUnloadEvent) => event.preventDefault()
    addEventListener('beforeunload', ask)
    return () => removeEventListener('beforeunload', ask)
  }, [active])
}

/** The Escape key does what the stop button does, wherever the focus is. */
export function useEscape(active: boolean, onEscape: () => void): void {
  useEffect(() => {
    if (!active) return
    const listen = ({ key }: KeyboardEvent) => {
      if (key === 'Escape') onEscape()
    }
    addEventListener('keydown', listen)
    return () => removeEventListener('keydown', listen)
  }, [active, onEscape])
}
