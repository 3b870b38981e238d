import { BoardwrightError, isBoardwrightError, readWave, recogniseSweep } from '@boardwright/core'
import type { RecordTestRun, SettingRecording, Workshop } from '@boardwright/core/workshop'
import type { FastifyRequest } from 'fastify'
import { readUpload, type UploadedFile } from './read-upload.ts'

/** Reads an uploaded WAV file; the error names the part and the file. */
function audioOf(file: UploadedFile) {
  try {
    return readWave(file.bytes)
  } catch (error) {
    if (!isBoardwrightError(error)) throw error
    const message = `"${file.fileName}" (part ${file.part}): ${error.message}`
    throw new BoardwrightError(error.code, message, { remedy: error.remedy, cause: error })
  }
}

/** Lets every request that has come in meanwhile be answered. */
const letOthersIn = () => new Promise<void>((resolve) => setImmediate(resolve))

/**
 * Measures the recordings one after the other, with time for other requests between them; the verb then takes the results
 * over. What is wrong with an upload is left to the verb to say, in its own order.
 */
async function measureInTurn(workshop: Workshop, what: RecordTestRun): Promise<void> {
  const { productId, sweep, loopBackChannel } = what
  for (const recording of what.recordings) {
    await letOthersIn()
    try {
      workshop.measureAhead({ recording, productId, sweep, loopBackChannel })
    } catch (error) {
      if (!isBoardwrightError(error)) throw error
      return
    }
  }
  await letOthersIn()
}

/**
 * Judges uploaded recordings and stores the run. Other requests are answered meanwhile: between reading and measuring one
 * recording and the next.
 *
 * Errors: those of readUpload and of the verb recordTestRun.
 */
export async function addTestRun(workshop: Workshop, request: FastifyRequest) {
  const upload = await readUpload(request)
  const recordings: SettingRecording[] = []
  for (const { setting, file } of upload.recordings) {
    await letOthersIn()
    recordings.push({ setting, audio: audioOf(file), origin: file.fileName })
  }
  const what: RecordTestRun = { serial: upload.fields.serial, rig: upload.fields.rig, recordings }
  if (upload.fields.productId !== undefined) what.productId = upload.fields.productId
  if (upload.fields.loopBackChannel !== undefined)
    what.loopBackChannel = upload.fields.loopBackChannel === 'left' ? 0 : 1
  if (upload.sweep !== undefined) what.sweep = recogniseSweep(audioOf(upload.sweep))
  await measureInTurn(workshop, what)
  const { run, unit, newUnit } = workshop.recordTestRun(what)
  return { run, reference: workshop.testRun(run.id).reference, unit, newUnit }
}
