import type { CheckReply, CheckRequest, TakeCheck } from './check-messages.ts'

export interface Checker {
  /** Gets ready for recordings of a stimulus. */
  prepare: (plan: Pick<CheckRequest, 'stimulus' | 'wantedUncertaintyDb'>) => void
  check: (take: Omit<CheckRequest, 'id'>) => Promise<TakeCheck>
  close: () => void
}

/** Starts the worker that checks recordings. A check that breaks off is a fault of the desk and rejects with its words. */
export function openChecker(): Checker {
  const worker = new Worker(new URL('./check-worker.ts', import.meta.url), { type: 'module' })
  const waiting = new Map<number, { resolve: (check: TakeCheck) => void; reject: (reason: Error) => void }>()
  let lastId = 0
  worker.addEventListener('message', ({ data }: MessageEvent<CheckReply>) => {
    const waiter = waiting.get(data.id)
    waiting.delete(data.id)
    if ('check' in data) waiter?.resolve(data.check)
    else waiter?.reject(new Error(data.failure))
  })
  worker.addEventListener('error', (event) => {
    for (const { reject } of waiting.values()) reject(new Error(event.message || 'the checks could not be fetched'))
    waiting.clear()
  })
  return {
    prepare: ({ stimulus, wantedUncertaintyDb }) =>
      worker.postMessage({ stimulus, wantedUncertaintyDb, id: ++lastId, channels: [] } satisfies CheckRequest),
    check: (take) =>
      new Promise((resolve, reject) => {
        const id = ++lastId
        waiting.set(id, { resolve, reject })
        worker.postMessage({ ...take, id } satisfies CheckRequest)
      }),
    close: () => worker.terminate(),
  }
}
