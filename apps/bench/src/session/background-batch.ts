import { Worker } from 'node:worker_threads'
import { BoardwrightError, type ErrorCode } from '@boardwright/core'
import type { BatchRecorder, KeptBoard, RecordedBoard } from './batch-recorder.ts'
import type { Likeness } from './board-likeness.ts'
import type { LabelOutcome, LabelWay } from './print-label.ts'

export interface BatchWorkerData {
  /** The workshop file. */
  file: string
  station: string
  way: LabelWay
}

export interface BatchQuestion {
  id: number
  ask:
    | { kind: 'analyse'; board: RecordedBoard }
    | { kind: 'keep' }
    | { kind: 'label'; runId: string }
    | { kind: 'close' }
}

export interface BatchAnswer {
  id: number
  value?: unknown
  error?: { code: ErrorCode; message: string; remedy: string }
}

/** The recorder of a batch in a thread of its own, which is kept until all labels are printed. */
export function makeBackgroundBatch(workerData: BatchWorkerData): BatchRecorder {
  const worker = new Worker(new URL('./batch-worker.js', import.meta.url), { workerData })
  worker.unref()
  const waiting = new Map<number, { resolve: (value: unknown) => void; reject: (error: unknown) => void }>()
  let failure: unknown
  let last = 0
  worker.on('message', ({ id, value, error }: BatchAnswer) => {
    const asked = waiting.get(id)
    waiting.delete(id)
    if (error) asked?.reject(new BoardwrightError(error.code, error.message, { remedy: error.remedy }))
    else asked?.resolve(value)
  })
  worker.on('error', (error) => {
    failure = error
    for (const { reject } of waiting.values()) reject(error)
    waiting.clear()
  })
  const put = <T>(ask: BatchQuestion['ask'], transfer: ArrayBuffer[] = []) =>
    new Promise<T>((resolve, reject) => {
      if (failure) return reject(failure)
      last++
      waiting.set(last, { resolve: resolve as (value: unknown) => void, reject })
      worker.postMessage({ id: last, ask } satisfies BatchQuestion, transfer)
    })
  return {
    // Recordings are handed over, not copied: nobody looks at them here any more.
    analyse: (board) => put<Likeness | undefined>({ kind: 'analyse', board }, buffersOf(board)),
    keep: () => put<KeptBoard>({ kind: 'keep' }),
    label: (runId) => put<LabelOutcome>({ kind: 'label', runId }),
    async close() {
      worker.ref()
      await put<void>({ kind: 'close' }).catch(() => {})
      await worker.terminate()
    },
  }
}

const buffersOf = (board: RecordedBoard): ArrayBuffer[] => [
  ...new Set(board.recordings.flatMap(({ audio }) => audio.channels.map((samples) => samples.buffer as ArrayBuffer))),
]
