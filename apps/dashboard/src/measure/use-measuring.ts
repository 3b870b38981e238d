import type { Product } from '@boardwright/core'
import { useReducer, useState } from 'react'
import { useAddTestRun } from '../api/queries.ts'
import {
  hasUnsent,
  isSounding,
  type MeasuringEvent,
  measuring,
  nextSetting,
  nothingMeasured,
} from './measuring-state.ts'
import type { Rig } from './rig-choice/rig-choice.ts'
import { needTestable } from './take/need-testable.ts'
import { recordTake } from './take/record-take.ts'
import type { Take } from './take/take.ts'
import { takesBody } from './take/takes-body.ts'
import { useEscape, useWarning } from './use-leaving.ts'
import { stoppedByMaker, useSoundWork } from './use-sound-work.ts'

/**
 * One board after the other, measured at this desk: plays, records and checks each setting, then has the run judged. The
 * product stays what it was when the page was opened: fetching it again must not break into a sweep.
 */
export function useMeasuring(given: Product) {
  const [product] = useState(given)
  const plan = product.testPlan
  const [state, dispatch] = useReducer(measuring, plan.settings, nothingMeasured)
  const { checker, begin, stop } = useSoundWork(plan)
  const judge = useJudging(product, dispatch)
  useWarning(hasUnsent(state))
  useEscape(isSounding(state), stop)

  /** When the last setting is recorded nothing is left to be decided. */
  const goOn = (serial: string, takes: readonly Take[]) =>
    takes.length === plan.settings.length ? judge(serial, takes) : undefined
  const record = async ({ serial, rig }: { serial: string; rig: Rig }) => {
    const setting = nextSetting(state)
    if (setting === undefined || checker.current === undefined) return
    const { stimulus, wantedUncertaintyDb } = plan
    const signal = begin()
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
  const again = () => dispatch({ type: 'again' })
  return { state, record, stop, keep, again, judge: (serial: string) => judge(serial, state.takes) }
}

/** Judges and stores; the recordings stay here until the server has them. */
function useJudging(product: Product, dispatch: (event: MeasuringEvent) => void) {
  const send = useAddTestRun()
  return async (serial: string, takes: readonly Take[]) => {
    dispatch({ type: 'send' })
    try {
      const body = takesBody({ serial, productId: product.id, stimulus: product.testPlan.stimulus, takes })
      dispatch({ type: 'judged', result: await send.mutateAsync(body) })
    } catch (problem) {
      dispatch({ type: 'failed', problem })
    }
  }
}
