import type { UnitRow } from '@boardwright/core/contract'
import { createContext, useContext } from 'react'
import type { ConnectionState } from '../api/live-connection.ts'

/** A test run that came in while the page was open. */
export type News = NonNullable<UnitRow['lastRun']>

export interface Live {
  connection: ConnectionState
  news: News | undefined
  dismiss: () => void
}

export const LiveContext = createContext<Live>({ connection: 'connecting', news: undefined, dismiss: () => {} })
export const useLive = (): Live => useContext(LiveContext)
