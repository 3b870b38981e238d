import type { Product } from '@boardwright/core'
import { useCallback, useEffect, useReducer, useRef } from 'react'
import { useAddTestRun } from '../api/queries.ts'
import { type Checker, openChecker } from './check/open-checker.ts'
import { hasUnsent, isSounding, measuring, nextSetting, nothingMeasured } from './measuring-state.ts'
import type { Rig } from './rig-choice/rig-choice.ts'
import { needTestable } from './take/need-testable.ts'
import { recordTake } from './take/record-take.ts'
import type { Take } from './take/take.ts'
import { takesBody } from './take/takes-body.ts'

/** The reason of a stop by the maker: no trouble, so nothing is told but that it was stopped. */
const stoppedByMaker = new Error('stopped at the desk')

/** One board after the other, measured at this desk: plays, records and checks each setting, then has the run judged. */
export function useMeasuring(product: Product) {
  const plan = product.testPlan
  const [state, dispatch] = useReducer(measuring, plan.settings, nothingMeasured)
  const stopper = useRef<AbortController>(undefined)
  const checker = useRef<Checker>(undefined)
  const send = useAddTestRun()

  useEffect(() => {
    checker.current = openChecker()
    // Before the first sound: while it plays the computer has something better to do.
    checker.current.prepare(product.testPlan)
    return () => {
      // Leaving the page must not leave a sound behind.
      stopper.current?.abort(stoppedByMaker)
      checker.current?.close()
    }
  }, [product])
  useWarning(hasUnsent(state))
  const sounding = isSounding(state)
  const stop = useCallback(() => stopper.current?.abort(stoppedByMaker), [])
  useEscape(sounding, stop)

  /** Judges and stores; the recordings stay here until the server has them. */
  const judge = async (serial: string, takes: readonly Take[]) => {
    dispatch({ type: 'send' })
    try {
      const body = takesBody({ serial, productId: product.id, stimulus: plan.stimulus, takes })
      dispatch({ type: 'judged', result: await send.mutateAsync(body) })
    } catch (problem) {
      dispatch({ type: 'failed', problem })
    }
  }
  /** When the last setting is recorded nothing is left to be decided. */
  const goOn = (serial: string, takes: readonly Take[]) =>
    takes.length === plan.settings.length ? judge(serial, takes) : undefined
  const record = async ({ serial, rig }: { serial: string; rig: Rig }) => {
    const setting = nextSetting(state)
    if (setting === undefined || checker.current === undefined) return
    const { stimulus, wantedUncertaintyDb } = plan
    stopper.current = new AbortController()
    const { signal } = stopper.current
    dispatch({ type: 'begin' })
    try {
      if (state.takes.length === 0) await needTestable(serial, product)
      signal.throwIfAborted()
      const take = await recordTake({
        ...{ setting, stimulus, wantedUncertaintyDb, rig, signal },
        checker: checker.current,
        onProgress: (progress) => dispatch({ type: 'progress', progress }),
      })
      dispatch({ type: 'recorded', take })
      if (take.check.usable) await goOn(serial, [...state.takes, take])
    } catch (problem) {
      dispatch(problem === stoppedByMaker ? { type: 'stopped' } : { type: 'failed', problem })
    }
  }
  const keep = (serial: string) => {
    if (state.refused === null) return
    dispatch({ type: 'keep' })
    void goOn(serial, [...state.takes, state.refused])
  }
  return {
    state,
    record,
    stop,
    keep,
    judge: (serial: string) => judge(serial, state.takes),
    again: () => dispatch({ type: 'again' }),
  }
}

/** The browser asks back before it throws recordings away. */
function useWarning(active: boolean): void {
  useEffect(() => {
    if (!active) return
    const ask = (event: BeforeUnloadEvent) => event.preventDefault()
    addEventListener('beforeunload', ask)
    return () => removeEventListener('beforeunload', ask)
  }, [active])
}

/** The Escape key does what the stop button does, wherever the focus is. */
function useEscape(active: boolean, onEscape: () => void): void {
  useEffect(() => {
    if (!active) return
    const listen = ({ key }: KeyboardEvent) => {
      if (key === 'Escape') onEscape()
    }
    addEventListener('keydown', listen)
    return () => removeEventListener('keydown', listen)
  }, [active, onEscape])
}
