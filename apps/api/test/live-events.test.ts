import { LiveEvent } from '@boardwright/core/contract'
import { openStore } from '@boardwright/core/store'
import { describe, expect, it } from 'vitest'
import { listeningServer } from './listening-server.ts'

const { now } = listeningServer()

/** Reads server-sent events as a browser does: frames end with an empty line. */
async function listen(path = '/api/events', headers: Record<string, string> = {}) {
  const stop = new AbortController()
  const reply = await fetch(now.server.url + path, { headers, signal: stop.signal })
  const reader = (reply.body as ReadableStream<Uint8Array>).getReader()
  const decoder = new TextDecoder()
  const frames: string[] = []
  let rest = ''
  const frame = async (): Promise<string | undefined> => {
    while (frames.length === 0) {
      const { value, done } = await reader.read()
      if (done) return undefined
      const pieces = (rest + decoder.decode(value, { stream: true })).split('\n\n')
      rest = pieces.pop() ?? ''
      frames.push(...pieces)
    }
    return frames.shift()
  }
  const change = async (): Promise<{ id: number; event: LiveEvent } | undefined> => {
    for (;;) {
      const lines = (await frame())?.split('\n')
      if (lines === undefined) return undefined
      const value = (name: string) => lines.find((line) => line.startsWith(`${name}: `))?.slice(name.length + 2)
      const data = value('data')
      if (value('event') === 'change' && data !== undefined)
        return { id: Number(value('id')), event: LiveEvent.parse(JSON.parse(data)) }
    }
  }
  return { reply, frame, change, stop: () => stop.abort() }
}

describe('live events', () => {
  it('tell of a change that another program makes in the same file', async () => {
    const bench = now.opened.openAgain('bench')
    const events = await listen()
    expect(events.reply.headers.get('content-type')).toBe('text/event-stream')
    bench.registerUnit({ serial: 'PLV-0001' })
    const change = await events.change()
    expect(change?.event).toMatchObject({ noun: 'unit', key: 'PLV-0001', station: 'bench' })
    expect(change?.id).toBe(change?.event.seq)
    bench.close()
    events.stop()
  })

  it('tell of a change that this program makes', async () => {
    const events = await listen()
    now.opened.workshop.registerUnit({ serial: 'PLV-0002' })
    expect((await events.change())?.event.key).toBe('PLV-0002')
    events.stop()
  })

  it('go on after Last-Event-ID, so that nothing is lost over a break', async () => {
    const before = now.opened.workshop.lastSeq()
    for (const n of [1, 2, 3]) now.opened.workshop.registerUnit({ serial: `PLV-000${n}` })
    const all = now.opened.workshop.journalSince(before).map((entry) => entry.seq)
    const resumed = await listen('/api/events?after=0', { 'last-event-id': String(before) })
    for (const seq of all) expect((await resumed.change())?.id).toBe(seq)
    resumed.stop()
    const asked = await listen(`/api/events?after=${all[0]}`)
    expect((await asked.change())?.id).toBe(all[1])
    asked.stop()
  })

  it('begin with the next change, also when the number asked for is beyond the journal', async () => {
    now.opened.workshop.registerUnit({ serial: 'PLV-0001' })
    for (const headers of [{}, { 'last-event-id': '999999' }] as Record<string, string>[]) {
      const events = await listen('/api/events', headers)
      await events.frame()
      const { serial } = now.opened.workshop.registerUnit({ serial: `PLV-1${Object.keys(headers).length}` })
      expect((await events.change())?.event.key).toBe(serial)
      events.stop()
    }
  })

  it('bring a long history whole and in order, also to one who reads late', async () => {
    const before = now.opened.workshop.lastSeq()
    const store = openStore(now.opened.file)
    const entry = {
      at: '2026-03-02T10:00:00.000Z',
      station: 'bench',
      verb: 'note',
      noun: 'unit',
      key: 'PLV-1',
      detail: {},
    }
    // 40,000 events are 5 MB: far more than the buffers of a connection hold.
    store.transaction(() => {
      for (let n = 0; n < 40_000; n++) store.journal.append(entry)
    })
    store.close()
    const events = await listen(`/api/events?after=${before}`)
    await new Promise((resolve) => setTimeout(resolve, 200))
    const wanted = Array.from({ length: 40_000 }, (_, i) => before + 1 + i)
    const got: unknown[] = []
    while (got.length < wanted.length) got.push((await events.change())?.id)
    expect(got).toEqual(wanted)
    events.stop()
  })

  it('are kept alive by comments', async () => {
    const events = await listen()
    expect(await events.frame()).toBe('retry: 1000')
    expect(await events.frame()).toBe(':')
    events.stop()
  })

  it('end when the server closes, which does not wait for them', async () => {
    const events = [await listen(), await listen()]
    await now.server.close()
    for (const { change } of events) expect(await change()).toBeUndefined()
  })
})
