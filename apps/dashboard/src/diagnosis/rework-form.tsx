import { isSamePart, type Product, ReworkAction, type RunDiagnosis, reworkActions, type Unit } from '@boardwright/core'
import { type FormEvent, useEffect, useRef } from 'react'
import { useAddRework } from '../api/queries.ts'
import { Caution } from '../frame/caution.tsx'
import { ProblemSlip } from '../frame/problem.tsx'
import styles from './diagnosis.module.css'

interface FormProps {
  unit: Unit
  product: Product
  diagnosis: RunDiagnosis | undefined
  /** Parts of the chosen suspect: they stand first. */
  suspected: readonly string[]
}

function partsOf({ circuit }: Product, first: readonly string[]): string[] {
  const all = circuit.elements
    .filter((one) => !('place' in one) || one.place === 'board')
    .map(({ designator }) => designator)
    .sort((a, b) => a.localeCompare(b, 'en', { numeric: true }))
  return [...first, ...all.filter((name) => !first.some((one) => isSamePart(one, name)))]
}

const textOf = (form: FormData, name: string): string | undefined => {
  const value = form.get(name)
  return typeof value === 'string' && value.trim() !== '' ? value.trim() : undefined
}

/** What was replaced or redone; after it the unit waits for its test, which tells whether that was it. */
export function ReworkForm({ unit, product, diagnosis, suspected }: FormProps) {
  const add = useAddRework({ serial: unit.serial, diagnosis })
  const problem = useRef<HTMLElement>(null)
  const parts = partsOf(product, suspected)
  useEffect(() => {
    if (add.isError) problem.current?.focus()
  }, [add.isError])
  const submit = (event: FormEvent<HTMLFormElement>) => {
    event.preventDefault()
    const form = new FormData(event.currentTarget)
    add.mutate({
      designator: textOf(form, 'designator') ?? '',
      action: ReworkAction.parse(form.get('action')),
      part: textOf(form, 'part'),
      lot: textOf(form, 'lot'),
      note: textOf(form, 'note'),
      finished: form.get('more') === null,
    })
  }
  return (
    <form className={styles.form} onSubmit={submit} aria-label="Record a rework" aria-busy={add.isPending}>
      <div className={styles.twoFields}>
        <label className={styles.field}>
          Part
          <select name="designator" key={parts[0]} defaultValue={parts[0]}>
            {parts.map((name) => (
              <option key={name}>{name}</option>
            ))}
          </select>
        </label>
        <label className={styles.field}>
          What was done
          <select name="action" defaultValue={reworkActions[0]}>
            {reworkActions.map((action) => (
              <option key={action} value={action}>
                {action.replace('-', ' ')}
              </option>
            ))}
          </select>
        </label>
        <label className={styles.field}>
          Put in
          <input name="part" maxLength={120} autoComplete="off" />
        </label>
        <label className={styles.field}>
          From lot
          <input name="lot" maxLength={120} autoComplete="off" />
        </label>
      </div>
      <label className={styles.field}>
        Note
        <input name="note" maxLength={2000} autoComplete="off" />
      </label>
      <label className={styles.more}>
        <input type="checkbox" name="more" /> More parts follow: the board is not ready for its test yet
      </label>
      <Caution>Hot iron, fumes: supply off, air moving. The rules of your workshop come first.</Caution>
      {add.isError && <ProblemSlip ref={problem} error={add.error} />}
      <button type="submit" disabled={add.isPending}>
        {add.isPending ? 'Recording …' : 'Record the rework'}
      </button>
      <p role="status">
        {add.isSuccess && `${add.data.rework.designator} is on record; ${unit.serial} is ${add.data.unit.state}.`}
      </p>
    </form>
  )
}
