import type { UnitRow } from '@boardwright/core/contract'
import type { KeyboardEvent, Ref } from 'react'
import { Link } from 'wouter'
import styles from './units-table.module.css'
import { UnitsTableRow } from './units-table-row.tsx'
import { useNow } from './use-now.ts'

/** Arrow keys, Home and End go from unit to unit. */
function walk(event: KeyboardEvent<HTMLTableElement>) {
  const links = [...event.currentTarget.querySelectorAll<HTMLAnchorElement>('tbody a')]
  const here = links.indexOf(event.target as HTMLAnchorElement)
  const steps: Record<string, number> = { ArrowDown: here + 1, ArrowUp: here - 1, Home: 0, End: links.length - 1 }
  const next = links[steps[event.key] ?? -1]
  if (here < 0 || !next) return
  event.preventDefault()
  next.focus()
}

export function UnitsTable({
  ref,
  units,
  total,
  filtered,
}: {
  ref: Ref<HTMLTableElement>
  units: UnitRow[]
  total: number
  filtered: boolean
}) {
  const now = useNow()
  return (
    <>
      <p role="status" className={styles.count}>
        {total === 1 ? '1 unit' : `${total} units`}
        {total > units.length && `, the newest ${units.length} shown`}
      </p>
      {units.length === 0 ? (
        <NoUnits filtered={filtered} />
      ) : (
        // The keys only move the focus between links that are reachable without them.
        <table ref={ref} className={styles.table} onKeyDown={walk}>
          <caption className="unseen">Units, newest change first. Arrow keys go from unit to unit.</caption>
          <thead>
            <tr>
              <th scope="col">Unit</th>
              <th scope="col">Last test</th>
              <th scope="col">When</th>
            </tr>
          </thead>
          <tbody>
            {units.map((unit) => (
              <UnitsTableRow key={unit.serial} unit={unit} now={now} />
            ))}
          </tbody>
        </table>
      )}
    </>
  )
}

const NoUnits = ({ filtered }: { filtered: boolean }) =>
  filtered ? (
    <p className={styles.none}>No unit fits. Change the search or choose every state.</p>
  ) : (
    <p className={styles.none}>
      No unit yet. Test a board at the bench, or <Link href="/test">test one from recordings</Link>: its serial number
      appears here by itself.
    </p>
  )
