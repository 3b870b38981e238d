import { Worker } from 'node:worker_threads'
import { BoardwrightError, type ErrorCode, type Product, type SweepSettings } from '@boardwright/core'
import type { RigDrift, RigDriver, RigRequest, RigSound } from '@boardwright/core/audio'
import type { Fault } from '@boardwright/core/circuit'

export interface RigWorkerData {
  product: Product
  seed: number
  /** What is wrong with every simulated board, instead of with the demo's. */
  everyBoard?: Fault[]
  /** How far the rig itself has gone from what it was. */
  drift?: RigDrift
}

export interface RigQuestion {
  id: number
  serial: string
  setUp?: string
  setting: string
  supplyV?: number
  /** A sweep to run, or a short sound to listen with. */
  settings?: SweepSettings
  sound?: Pick<RigSound, 'samples' | 'rateHz'>
}

/** A sound has no origin to tell. */
interface Recording {
  audio: Awaited<ReturnType<RigDriver['run']>>['audio']
  origin: string
}

export interface RigAnswer {
  id: number
  recording?: Recording
  error?: { code: ErrorCode; message: string; remedy: string }
}

const tellEveryMs = 50

/** Lets as much time pass as the sweep takes, and tells how far it is. */
async function playAlong(request: RigRequest, durationMs: number): Promise<void> {
  const beganMs = performance.now()
  for (;;) {
    request.signal?.throwIfAborted()
    const fraction = (performance.now() - beganMs) / durationMs
    if (fraction >= 1) break
    request.onProgress?.({ fraction, activity: 'playing the sweep' })
    await new Promise((resolve) => setTimeout(resolve, tellEveryMs))
  }
  request.onProgress?.({ fraction: 1, activity: 'the recording is coming in' })
}

/** Waits for the answer, or for the signal that stops the run. */
function unlessStopped<T>(answer: Promise<T>, signal: AbortSignal | undefined): Promise<T> {
  if (!signal) return answer
  return new Promise((resolve, reject) => {
    const stop = () => reject(signal.reason)
    signal.addEventListener('abort', stop, { once: true })
    answer.then(resolve, reject).finally(() => signal.removeEventListener('abort', stop))
  })
}

/**
 * The simulated rig, computed in a thread of its own, `speed` times as fast as a real one would play. The thread starts
 * at once, so that it is ready when the first unit is; it does not keep the program alive.
 */
export function makeBackgroundRig(options: RigWorkerData & { speed: number }): RigDriver & { close: () => void } {
  const { speed, ...workerData } = options
  const worker = new Worker(new URL('./simulated-rig-worker.js', import.meta.url), { workerData })
  worker.unref()
  const waiting = new Map<number, { resolve: (recording: Recording) => void; reject: (error: unknown) => void }>()
  let failure: unknown
  worker.on('message', ({ id, recording, error }: RigAnswer) => {
    const asked = waiting.get(id)
    waiting.delete(id)
    if (recording) asked?.resolve(recording)
    else if (error) asked?.reject(new BoardwrightError(error.code, error.message, { remedy: error.remedy }))
  })
  worker.on('error', (error) => {
    failure = error
    for (const { reject } of waiting.values()) reject(error)
    waiting.clear()
  })
  let last = 0
  const ask = (question: Omit<RigQuestion, 'id'>) =>
    new Promise<Recording>((resolve, reject) => {
      if (failure) return reject(failure)
      last++
      waiting.set(last, { resolve, reject })
      worker.postMessage({ id: last, ...question } satisfies RigQuestion)
    })
  return {
    kind: 'simulated',
    async run(request) {
      request.signal?.throwIfAborted()
      const { serial, setUp, setting, sweep } = request
      const answer = ask({ serial, setUp, setting, settings: sweep.settings })
      answer.catch(() => {}) // a run that was stopped no longer listens
      await playAlong(request, (1000 * sweep.samples.length) / sweep.rateHz / speed)
      return unlessStopped(answer, request.signal)
    },
    async record({ samples, rateHz, board, signal }) {
      signal?.throwIfAborted()
      if (!board) throw new Error('a simulated rig must be told which board it listens to')
      const answer = ask({ ...board, sound: { samples, rateHz } })
      answer.catch(() => {}) // a run that was stopped no longer listens
      await new Promise((resolve) => setTimeout(resolve, (1000 * samples.length) / rateHz / speed))
      return (await unlessStopped(answer, signal)).audio
    },
    close: () => void worker.terminate(),
  }
}
