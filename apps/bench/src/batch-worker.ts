import { parentPort, workerData } from 'node:worker_threads'
import { isBoardwrightError } from '@boardwright/core'
import { openStore } from '@boardwright/core/store'
import { makeWorkshop } from '@boardwright/core/workshop'
import type { BatchAnswer, BatchQuestion, BatchWorkerData } from './session/background-batch.ts'
import { makeBatchRecorder } from './session/batch-recorder.ts'

// Analysis, verdict and label in a thread of its own, on a connection of its own to the workshop file: the rig goes on with
// the next board, and the screen does not stand still.
const { file, station, way } = workerData as BatchWorkerData
const workshop = makeWorkshop({ store: openStore(file), station })
const recorder = makeBatchRecorder({ workshop, way })

async function answer({ id, ask }: BatchQuestion): Promise<BatchAnswer> {
  try {
    if (ask.kind === 'analyse') return { id, value: await recorder.analyse(ask.board) }
    if (ask.kind === 'keep') return { id, value: await recorder.keep() }
    if (ask.kind === 'label') return { id, value: await recorder.label(ask.runId) }
    await recorder.close()
    workshop.close()
    return { id, value: undefined }
  } catch (error) {
    if (!isBoardwrightError(error)) throw error
    const { code, message, remedy } = error
    return { id, error: { code, message, remedy } }
  }
}

parentPort?.on('message', (question: BatchQuestion) => {
  void answer(question).then((reply) => parentPort?.postMessage(reply))
})
