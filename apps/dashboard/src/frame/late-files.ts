import type { ComponentType } from 'react'

/** The files of a page that come after the first load. */
export interface LateFiles<Props> {
  loaded: () => ComponentType<Props> | undefined
  fetch: () => Promise<ComponentType<Props>>
  /** Fetches them ahead of need; what fails then is tried again, and told, when it is needed. */
  fetchAhead: () => void
}

export function lateFiles<Props>(load: () => Promise<ComponentType<Props>>): LateFiles<Props> {
  let page: ComponentType<Props> | undefined
  const fetch = async () => {
    page ??= await load()
    return page
  }
  return { loaded: () => page, fetch, fetchAhead: () => void fetch().catch(() => {}) }
}
