import { parentPort, workerData } from 'node:worker_threads'
import { isBoardwrightError } from '@boardwright/core'
import { openStore } from '@boardwright/core/store'
import { makeWorkshop } from '@boardwright/core/workshop'
import type { DiagnosisAnswer, DiagnosisQuestion, DiagnosisWorkerData } from './session/background-diagnosis.ts'

// Suspects in a thread of its own, on a connection of its own to the same workshop file: two programs on one file is the
// normal case, and the screen must not stand still while they are worked out.
const { file, station } = workerData as DiagnosisWorkerData
const workshop = makeWorkshop({ store: openStore(file), station })

async function answer({ id, show, ask }: DiagnosisQuestion): Promise<DiagnosisAnswer> {
  try {
    const diagnosis = ask ? await workshop.diagnoseRun(ask) : await workshop.diagnosis(show ?? '')
    return { id, diagnosis }
  } catch (error) {
    if (!isBoardwrightError(error)) throw error
    const { code, message, remedy } = error
    return { id, error: { code, message, remedy } }
  }
}

parentPort?.on('message', (question: DiagnosisQuestion) => {
  void answer(question).then((reply) => parentPort?.postMessage(reply))
})
