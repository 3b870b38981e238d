import type { Circuit, NextCheck } from '@boardwright/core'
import { type FormEvent, useEffect, useRef } from 'react'
import { ProblemSlip } from '../frame/problem.tsx'
import styles from './diagnosis.module.css'
import { type EvidenceBody, evidenceBody, fieldOf, nodesOf } from './evidence-body.ts'

interface FormProps {
  checks: readonly NextCheck[]
  circuit: Circuit
  busy: boolean
  error: unknown
  onTell: (body: EvidenceBody) => void
}

/** What was measured by hand. The suspects are worked out again with it. */
export function EvidenceForm({ checks, circuit, busy, error, onTell }: FormProps) {
  const problem = useRef<HTMLElement>(null)
  useEffect(() => {
    if (error) problem.current?.focus()
  }, [error])
  const submit = (event: FormEvent<HTMLFormElement>) => {
    event.preventDefault()
    const body = evidenceBody(new FormData(event.currentTarget))
    if (Object.keys(body).length > 0) onTell(body)
  }
  const volts = checks.flatMap(({ kind, node, words }) => (kind === 'voltage' && node ? [{ node, words }] : []))
  const parts = checks.flatMap(({ kind, designator }) => (kind === 'part' && designator ? [designator] : []))
  return (
    <form className={styles.form} onSubmit={submit} aria-busy={busy}>
      {volts.map(({ node, words }) => (
        <Reading key={node} name={fieldOf.volts(node)} label={`${words}: ${node}`} unit="V" />
      ))}
      {parts.map((designator) => (
        <label key={designator} className={styles.field}>
          {designator} measured by itself
          <select name={fieldOf.part(designator)} defaultValue="">
            <option value="">not measured</option>
            <option value="sound">as drawn</option>
            <option value="faulty">wrong</option>
          </select>
        </label>
      ))}
      <Reading name="milliampere" label="Current from the supply, no signal" unit="mA" least={0} />
      <div className={styles.twoFields}>
        <label className={styles.field}>
          Another node
          <select name="otherNode" defaultValue="">
            <option value="">choose</option>
            {nodesOf(circuit).map(({ node, parts: names }) => (
              <option key={node} value={node}>
                {node} ({names.join(', ')})
              </option>
            ))}
          </select>
        </label>
        <Reading name="otherVolts" label="Its direct voltage against ground" unit="V" />
      </div>
      {error !== null && error !== undefined && <ProblemSlip ref={problem} error={error} />}
      <button type="submit" disabled={busy}>
        {busy ? 'Working it out …' : 'Ask again with these'}
      </button>
    </form>
  )
}

const Reading = ({ name, label, unit, least }: { name: string; label: string; unit: string; least?: number }) => (
  <label className={styles.field}>
    <span>
      {label}, {unit}
    </span>
    <input type="number" inputMode="decimal" step="any" min={least} name={name} autoComplete="off" />
  </label>
)
