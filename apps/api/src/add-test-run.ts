import { BoardwrightError, isBoardwrightError, readWave, recogniseSweep } from '@boardwright/core'
import type { RecordTestRun, Workshop } from '@boardwright/core/workshop'
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

/**
 * Judges uploaded recordings and stores the run.
 *
 * Errors: those of readUpload and of the verb recordTestRun.
 */
export async function addTestRun(workshop: Workshop, request: FastifyRequest) {
  const upload = await readUpload(request)
  const what: RecordTestRun = {
    serial: upload.fields.serial,
    rig: upload.fields.rig,
    recordings: upload.recordings.map(({ setting, file }) => ({
      setting,
      audio: audioOf(file),
      origin: file.fileName,
    })),
  }
  if (upload.fields.productId !== undefined) what.productId = upload.fields.productId
  if (upload.fields.loopBackChannel !== undefined)
    what.loopBackChannel = upload.fields.loopBackChannel === 'left' ? 0 : 1
  if (upload.sweep !== undefined) what.sweep = recogniseSweep(audioOf(upload.sweep))
  const { run, unit, newUnit } = workshop.recordTestRun(what)
  return { run, reference: workshop.testRun(run.id).reference, unit, newUnit }
}
