import { eventsPath, LiveEvent } from '@boardwright/core/contract'

export type ConnectionState = 'connecting' | 'live' | 'lost'

/**
 * Listens to the server's change events until closed. After a loss the browser tries again by itself and asks for what
 * was missed; where it has given up (it does so on an answer that is no event stream), a new source is made.
 */
export function openLiveConnection({
  onChange,
  onState,
}: {
  onChange: (event: LiveEvent) => void
  onState: (state: ConnectionState) => void
}): { close: () => void } {
  let source: EventSource
  let timer: ReturnType<typeof setTimeout> | undefined
  const connect = () => {
    source = new EventSource(eventsPath)
    source.addEventListener('open', () => onState('live'))
    source.addEventListener('error', () => {
      onState('lost')
      if (source.readyState !== EventSource.CLOSED) return
      clearTimeout(timer)
      timer = setTimeout(connect, 2000)
    })
    source.addEventListener('change', ({ data }: MessageEvent<string>) => {
      const event = LiveEvent.safeParse(safeJson(data))
      if (event.success) onChange(event.data)
    })
  }
  connect()
  return {
    close: () => {
      clearTimeout(timer)
      source.close()
    },
  }
}

function safeJson(text: string): unknown {
  try {
    return JSON.parse(text)
  } catch {
    return undefined
  }
}
