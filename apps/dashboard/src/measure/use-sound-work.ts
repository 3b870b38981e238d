import type { TestPlan } from '@boardwright/core'
import { useCallback, useEffect, useRef } from 'react'
import { type Checker, openChecker } from './check/open-checker.ts'

/** The reason of a stop by the maker: no trouble, so nothing is told but that it was stopped. */
export const stoppedByMaker = new Error('stopped at the desk')

/** What a page that plays must have at hand: the checks of its recordings, and a stop. Both end with the page. */
export function useSoundWork(plan: TestPlan) {
  const stopper = useRef<AbortController>(undefined)
  const checker = useRef<Checker>(undefined)
  useEffect(() => {
    checker.current = openChecker()
    // Before the first sound: while it plays the computer has something better to do.
    checker.current.prepare(plan)
    return () => {
      // Leaving the page must not leave a sound behind.
      stopper.current?.abort(stoppedByMaker)
      checker.current?.close()
    }
  }, [plan])
  const begin = (): AbortSignal => {
    stopper.current = new AbortController()
    return stopper.current.signal
  }
  const stop = useCallback(() => stopper.current?.abort(stoppedByMaker), [])
  return { checker, begin, stop }
}
