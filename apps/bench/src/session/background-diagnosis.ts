import { Worker } from 'node:worker_threads'
import { BoardwrightError, type ErrorCode, type RunDiagnosis } from '@boardwright/core'
import type { DiagnoseRun } from '@boardwright/core/workshop'
import type { Diagnosing } from '../bench.ts'

export interface DiagnosisWorkerData {
  /** The workshop file. */
  file: string
  station: string
}

/** Either a run to show, or something to ask. */
export interface DiagnosisQuestion {
  id: number
  show?: string
  ask?: DiagnoseRun
}

export interface DiagnosisAnswer {
  id: number
  diagnosis?: RunDiagnosis
  error?: { code: ErrorCode; message: string; remedy: string }
}

/**
 * Works suspects out in a thread of its own, started when the first board fails: most days need none. The thread does not
 * keep the program alive.
 */
export function makeBackgroundDiagnosis(workerData: DiagnosisWorkerData): Diagnosing & { close: () => void } {
  const waiting = new Map<number, { resolve: (one: RunDiagnosis) => void; reject: (error: unknown) => void }>()
  let worker: Worker | undefined
  let last = 0
  const started = (): Worker => {
    if (worker) return worker
    const begun = new Worker(new URL('./diagnosis-worker.js', import.meta.url), { workerData })
    begun.unref()
    begun.on('message', ({ id, diagnosis, error }: DiagnosisAnswer) => {
      const asked = waiting.get(id)
      waiting.delete(id)
      if (diagnosis) asked?.resolve(diagnosis)
      else if (error) asked?.reject(new BoardwrightError(error.code, error.message, { remedy: error.remedy }))
    })
    begun.on('error', (error) => {
      // The next question gets a fresh thread.
      worker = undefined
      for (const { reject } of waiting.values()) reject(error)
      waiting.clear()
    })
    worker = begun
    return begun
  }
  const put = (question: Omit<DiagnosisQuestion, 'id'>) =>
    new Promise<RunDiagnosis>((resolve, reject) => {
      last++
      waiting.set(last, { resolve, reject })
      started().postMessage({ id: last, ...question } satisfies DiagnosisQuestion)
    })
  return {
    show: (runId) => put({ show: runId }),
    ask: (what) => put({ ask: what }),
    close: () => void worker?.terminate(),
  }
}
