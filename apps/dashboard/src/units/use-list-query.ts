import { UnitState } from '@boardwright/core'
import { useLocation, useSearchParams } from 'wouter'
import type { UnitQuery } from '../api/queries.ts'

/** State filter and search of the list. They stand in the address, so that back, reload and a bookmark keep them. */
export function useListQuery(): { query: UnitQuery; setQuery: (query: UnitQuery) => void } {
  const [params] = useSearchParams()
  const [, go] = useLocation()
  const state = UnitState.safeParse(params.get('state'))
  const query = { state: state.success ? state.data : undefined, search: params.get('search') ?? undefined }
  const setQuery = (next: UnitQuery) => {
    const search = new URLSearchParams()
    if (next.state) search.set('state', next.state)
    if (next.search) search.set('search', next.search)
    go(search.size > 0 ? `/?${search}` : '/', { replace: true })
  }
  return { query, setQuery }
}
