import type { Workshop } from '@boardwright/core/workshop'
import { useCallback, useSyncExternalStore } from 'react'

const pollMs = 400

/**
 * A number that changes whenever any program has written to the workshop; lists read again when it does. What this program
 * writes itself counts with the very next drawing, what others write within the time of a poll.
 */
export function useWorkshopVersion(workshop: Workshop): number {
  const subscribe = useCallback((look: () => void) => {
    const timer = setInterval(look, pollMs)
    return () => clearInterval(timer)
  }, [])
  return useSyncExternalStore(subscribe, workshop.dataVersion)
}
