import { type ComponentType, useEffect, useRef, useState } from 'react'
import { serverUnreachable } from '../api/problem-error.ts'
import type { LateFiles } from './late-files.ts'
import { useLive } from './live-context.ts'
import { Loading } from './loading.tsx'
import { PageTitle } from './page-title.tsx'
import { ProblemSlip } from './problem.tsx'
import { Sheet } from './sheet.tsx'

/**
 * A page whose files are fetched apart from the first load. When they cannot be fetched (the server is down, or has been
 * updated and has other files) that is a sentence like any other; a fresh load of the document is the way on, because a
 * browser need not fetch a failed module again.
 */
export function LatePage<Props extends object>({ files, ...props }: { files: LateFiles<Props> } & Props) {
  const [Loaded, setLoaded] = useState<ComponentType<Props> | undefined>(() => files.loaded())
  const [failure, setFailure] = useState<unknown>()
  useEffect(() => {
    files.fetch().then(
      (page) => setLoaded(() => page),
      (cause) => setFailure(serverUnreachable(cause)),
    )
  }, [files])
  if (Loaded) return <Loaded {...(props as unknown as Props)} />
  if (failure) return <NotFetched failure={failure} />
  return <Loading what="the page" />
}

function NotFetched({ failure }: { failure: unknown }) {
  const { connection } = useLive()
  const wasLost = useRef(false)
  useEffect(() => {
    if (connection === 'lost') wasLost.current = true
    if (connection === 'live' && wasLost.current) window.location.reload()
  }, [connection])
  return (
    <Sheet>
      <PageTitle title="Not fetched">This page could not be fetched</PageTitle>
      <ProblemSlip error={failure} onRetry={() => window.location.reload()} />
    </Sheet>
  )
}
