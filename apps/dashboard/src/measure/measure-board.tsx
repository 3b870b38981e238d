import type { Product } from '@boardwright/core'
import { type FormEvent, useRef, useState } from 'react'
import { flushSync } from 'react-dom'
import { ProblemSlip } from '../frame/problem.tsx'
import { BoardFields } from './board-fields.tsx'
import { JudgedBoard } from './judged-board.tsx'
import styles from './measure-page.module.css'
import { nextSetting } from './measuring-state.ts'
import { NextSetting } from './next-setting.tsx'
import { RefusedTake } from './refused-take.tsx'
import { loadRig, type Rig, saveRig } from './rig-choice/rig-choice.ts'
import { SettingList } from './setting-list.tsx'
import { useMeasuring } from './use-measuring.ts'

interface MeasureBoardProps {
  products: readonly Product[]
  product: Product
  firstSerial: string
  onProduct: (id: string) => void
}

/** One board after the other: its number, the rig, then setting after setting until the verdict. */
export function MeasureBoard({ products, product, firstSerial, onProduct }: MeasureBoardProps) {
  const [serial, setSerial] = useState(firstSerial)
  const [rig, setRig] = useState<Rig>(() => loadRig(localStorage))
  const { state, record, stop, keep, judge, again } = useMeasuring(product)
  const [quiet, setQuiet] = useState(false)
  const serialField = useRef<HTMLInputElement>(null)
  const setting = nextSetting(state)
  const idle = state.doing === 'waiting'

  const submit = (event: FormEvent) => {
    event.preventDefault()
    if (!idle) return
    if (setting === undefined) void judge(serial)
    else void record({ serial, rig })
  }
  const next = () => {
    // At once: a field that is still locked takes no focus.
    flushSync(() => {
      again()
      setSerial('')
    })
    serialField.current?.focus()
  }
  const change = (changed: Rig) => {
    setRig(changed)
    saveRig(localStorage, changed)
  }
  return (
    <form className={styles.form} onSubmit={submit} aria-busy={!idle && state.doing !== 'judged'}>
      <BoardFields
        {...{ products, product, serial, rig, onProduct, serialField }}
        locked={!idle || state.takes.length > 0}
        onSerial={setSerial}
        onRig={change}
      />
      <div className={styles.work}>
        <SettingList product={product} state={state} />
        {state.result ? (
          <JudgedBoard result={state.result} onNext={next} />
        ) : (
          <>
            {state.problem !== undefined && <ProblemSlip error={state.problem} />}
            {idle && state.refused && <RefusedTake take={state.refused} onKeep={() => keep(serial)} />}
            <NextSetting {...{ product, state, quiet }} onQuiet={setQuiet} onStop={stop} onAgain={again} />
          </>
        )}
      </div>
    </form>
  )
}
