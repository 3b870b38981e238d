import { parentPort, workerData } from 'node:worker_threads'
import { isBoardwrightError, makeSweep, type SweepSettings, type SweepSignal } from '@boardwright/core'
import { makeSimulatedRig } from '@boardwright/core/audio'
import { demoFaultsOf, demoLooseContactOf } from '@boardwright/core/demo'
import type { RigAnswer, RigQuestion, RigWorkerData } from './session/background-rig.ts'
import { simulatedContactDb } from './session/simulated-contact.ts'

// The simulated rig in a thread of its own: it computes for a good part of a second, and the screen must not stand still.
const { product, seed, everyBoard, drift } = workerData as RigWorkerData
const rig = makeSimulatedRig({
  product,
  seed,
  speed: Number.POSITIVE_INFINITY,
  drift,
  contactDb: simulatedContactDb,
  faultsOf: (serial) => everyBoard ?? demoFaultsOf(serial),
  looseContactOf: (serial) => (everyBoard ? [] : demoLooseContactOf(serial)),
})

let kept: { key: string; sweep: SweepSignal } | undefined
function sweepOf(settings: SweepSettings): SweepSignal {
  const key = JSON.stringify(settings)
  if (kept?.key !== key) kept = { key, sweep: makeSweep(settings) }
  return kept.sweep
}

async function recordingOf({
  serial,
  setUp,
  setting,
  supplyV,
  settings,
  sound,
}: RigQuestion): Promise<RigAnswer['recording']> {
  if (settings) return rig.run({ serial, setUp, setting, sweep: sweepOf(settings) })
  if (!sound || !rig.record) throw new Error('nothing to play was given')
  return { audio: await rig.record({ ...sound, board: { serial, setting, supplyV } }), origin: '' }
}

async function answer(question: RigQuestion): Promise<RigAnswer> {
  const { id } = question
  try {
    return { id, recording: await recordingOf(question) }
  } catch (error) {
    if (!isBoardwrightError(error)) throw error
    const { code, message, remedy } = error
    return { id, error: { code, message, remedy } }
  }
}

parentPort?.on('message', (question: RigQuestion) => {
  void answer(question).then((reply) => parentPort?.postMessage(reply))
})
