import { useQueryClient } from '@tanstack/react-query'
import { type ReactNode, useCallback, useEffect, useMemo, useState } from 'react'
import { changedKeys, isUnitTested } from '../api/changed-keys.ts'
import { call } from '../api/client.ts'
import { type ConnectionState, openLiveConnection } from '../api/live-connection.ts'
import { LiveContext, type News } from './live-context.ts'

/** Keeps what is shown true: a change event fetches again what it concerns, a reconnection everything. */
export function LiveProvider({ children }: { children: ReactNode }) {
  const client = useQueryClient()
  const [connection, setConnection] = useState<ConnectionState>('connecting')
  const [news, setNews] = useState<News>()
  const dismiss = useCallback(() => setNews(undefined), [])

  useEffect(() => {
    let wasLost = false
    const live = openLiveConnection({
      onState: (state) => {
        setConnection(state)
        if (state === 'live' && wasLost) void client.invalidateQueries()
        wasLost = state === 'lost'
      },
      onChange: (event) => {
        for (const queryKey of changedKeys(event)) void client.invalidateQueries({ queryKey })
        if (isUnitTested(event)) void newestRun(event.key).then(setNews, () => {})
      },
    })
    return live.close
  }, [client])

  const value = useMemo(() => ({ connection, news, dismiss }), [connection, news, dismiss])
  return <LiveContext value={value}>{children}</LiveContext>
}

/** The event names the unit; what came out of the run must be asked for. */
async function newestRun(serial: string): Promise<News | undefined> {
  const { runs } = await call('unit', { params: { serial } })
  return runs[0]
}
