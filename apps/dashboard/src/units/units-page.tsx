import { unitStates } from '@boardwright/core'
import { type FormEvent, useDeferredValue, useRef, useState } from 'react'
import { useLocation } from 'wouter'
import { type UnitQuery, useUnits } from '../api/queries.ts'
import { Loading } from '../frame/loading.tsx'
import { PageTitle } from '../frame/page-title.tsx'
import { ProblemSlip } from '../frame/problem.tsx'
import { Sheet } from '../frame/sheet.tsx'
import { NextStrip } from './next-strip.tsx'
import styles from './units-page.module.css'
import { UnitsTable } from './units-table.tsx'
import { useListQuery } from './use-list-query.ts'

type State = NonNullable<UnitQuery['state']>

/** Every unit with its last verdict; a scan or a typed serial number leads to the unit. */
export function UnitsPage() {
  const { query, setQuery } = useListQuery()
  const [limit, setLimit] = useState(100)
  const search = useDeferredValue(query.search)
  const list = useUnits({ state: query.state, search, limit })
  const table = useRef<HTMLTableElement>(null)
  const [, go] = useLocation()

  const open = (event: FormEvent) => {
    event.preventDefault()
    const typed = query.search?.trim().toUpperCase()
    const units = list.data?.units ?? []
    // A label scanner types the serial number and Enter: faster than the list can follow, so the exact one is asked for.
    const hit = units.find((unit) => unit.serial === typed) ?? (units.length === 1 ? units[0] : undefined)
    if (hit) go(`/units/${encodeURIComponent(hit.serial)}`)
    else if (typed) go(`/units/${encodeURIComponent(typed)}`)
  }

  return (
    <Sheet>
      <PageTitle title="Units">Units</PageTitle>
      <NextStrip chosen={query.state} onChoose={(state) => setQuery({ ...query, state })} />
      <search>
        <form className={styles.filters} onSubmit={open}>
          <label>
            Scan or type a serial number
            <input
              type="search"
              autoComplete="off"
              autoCapitalize="characters"
              spellCheck={false}
              maxLength={64}
              value={query.search ?? ''}
              onChange={(event) => setQuery({ ...query, search: event.target.value || undefined })}
              onKeyDown={(event) => {
                if (event.key !== 'ArrowDown') return
                event.preventDefault()
                table.current?.querySelector<HTMLAnchorElement>('tbody a')?.focus()
              }}
            />
          </label>
          <label>
            State
            <select
              value={query.state ?? ''}
              onChange={(event) =>
                setQuery({ ...query, state: (event.target.value || undefined) as State | undefined })
              }
            >
              <option value="">every state</option>
              {unitStates.map((state) => (
                <option key={state}>{state}</option>
              ))}
            </select>
          </label>
          <button type="submit">Open</button>
        </form>
      </search>
      {list.isError && <ProblemSlip error={list.error} onRetry={() => void list.refetch()} />}
      {list.isPending && <Loading what="the units" />}
      {list.data && <UnitsTable ref={table} {...list.data} filtered={Boolean(query.state ?? search)} />}
      {list.data && list.data.total > list.data.units.length && (
        <button type="button" onClick={() => setLimit((shown) => Math.min(5000, shown + 400))}>
          Show more units
        </button>
      )}
    </Sheet>
  )
}
