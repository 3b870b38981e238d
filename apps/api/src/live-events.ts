import type { ServerResponse } from 'node:http'
import { LiveEvent } from '@boardwright/core/contract'
import type { Workshop } from '@boardwright/core/workshop'

/** What live events need of the workshop. */
type ChangeSource = Pick<Workshop, 'dataVersion' | 'journalSince' | 'lastSeq'>

interface LiveEvents {
  /** Sends every change after journal number `after` to this reply, whose head is already written, until it closes. */
  add(what: { stream: ServerResponse; after: number }): void
  /** Ends every stream; the timers stop. */
  end(): void
  readonly listeners: number
}

/** One server-sent event: https://html.spec.whatwg.org/multipage/server-sent-events.html#event-stream-interpretation */
const frame = (entry: LiveEvent): string =>
  `id: ${entry.seq}\nevent: change\ndata: ${JSON.stringify(LiveEvent.parse(entry))}\n\n`

/**
 * Tells its listeners of every journal entry. Bench and command line write to the same file from other processes, so the
 * file's data version is polled, and only while someone listens. A listener who reads too slowly is not written to
 * until it has caught up, so it costs no memory.
 *
 * @param options.onError told what a poll threw; polling goes on
 */
export function liveEvents(options: {
  source: ChangeSource
  pollMs: number
  heartbeatMs: number
  onError: (error: unknown) => void
}): LiveEvents {
  const { source, pollMs, heartbeatMs, onError } = options
  const sent = new Map<ServerResponse, number>()
  let timers: NodeJS.Timeout[] = []
  let seen = -1

  const catchUp = (stream: ServerResponse): boolean => {
    if (stream.writableNeedDrain) return false
    const entries = source.journalSince(sent.get(stream) ?? 0, 500)
    if (entries.length === 0) return true
    sent.set(stream, entries[entries.length - 1].seq)
    stream.write(entries.map(frame).join(''))
    return entries.length < 500
  }
  const poll = () => {
    try {
      const version = source.dataVersion()
      if (version === seen) return
      const allDone = [...sent.keys()].map(catchUp).every(Boolean)
      // Someone lags behind: leave the version open, so that the next poll goes on with them.
      seen = allDone ? version : -1
    } catch (error) {
      onError(error)
    }
  }
  const beat = () => {
    for (const stream of sent.keys()) if (!stream.writableNeedDrain) stream.write(':\n\n')
  }
  const remove = (stream: ServerResponse) => {
    sent.delete(stream)
    if (sent.size > 0) return
    for (const timer of timers) clearInterval(timer)
    timers = []
  }
  return {
    add({ stream, after }) {
      sent.set(stream, after)
      stream.on('close', () => remove(stream))
      stream.on('drain', poll)
      seen = -1
      if (timers.length === 0) timers = [setInterval(poll, pollMs), setInterval(beat, heartbeatMs)]
      poll()
    },
    end() {
      for (const stream of [...sent.keys()]) {
        stream.end()
        remove(stream)
      }
    },
    get listeners() {
      return sent.size
    },
  }
}
