import { BoardwrightError } from '@boardwright/core'
import { settingPartPrefix, sweepPart, TestRunFields, uploadLimits } from '@boardwright/core/contract'
import type { MultipartFile, MultipartValue } from '@fastify/multipart'
import type { FastifyRequest } from 'fastify'
import { InvalidRequest, jsonPointer, parsePart } from './invalid-request.ts'

/** One file of an upload, as sent. */
export interface UploadedFile {
  /** Name of the multipart part. */
  part: string
  fileName: string
  bytes: Buffer
}

export interface TestRunUpload {
  fields: TestRunFields
  recordings: { setting: string; file: UploadedFile }[]
  sweep: UploadedFile | undefined
}

const wrong = (part: string, message: string) => new InvalidRequest([{ pointer: jsonPointer(['body', part]), message }])

/** Refuses a part that this route does not know, before its bytes are taken in. */
function checkName(part: MultipartFile | MultipartValue): void {
  const name = part.fieldname
  const isRecording = name.length > settingPartPrefix.length && name.startsWith(settingPartPrefix)
  const isFile = isRecording || name === sweepPart
  if (part.type === 'file' && !isFile)
    throw wrong(name, `a file part must be called "${settingPartPrefix}NAME" or "${sweepPart}"`)
  if (part.type === 'field' && isFile) throw wrong(name, 'this part must be a file, with a file name')
}

/** Only what stands behind the last separator: some clients send a whole path. */
const lastSegment = (fileName: string): string => fileName.split(/[\\/]/).at(-1)?.slice(0, 200) ?? ''

/** What the form's parser throws has no code when the form itself is broken. */
function brokenForm(error: unknown): unknown {
  if (!(error instanceof Error) || 'code' in error) return error
  return new BoardwrightError('bad-request', `The form that was sent cannot be read: ${error.message}.`, {
    cause: error,
  })
}

/** The parts in the order they come. */
async function* partsOf(request: FastifyRequest) {
  const parts = request.parts()
  for (;;) {
    const next = await parts.next().catch((error) => Promise.reject(brokenForm(error)))
    if (next.done) return
    yield next.value
  }
}

async function readFilePart(part: MultipartFile): Promise<UploadedFile> {
  const fileName = lastSegment(part.filename) || `${part.fieldname}.wav`
  try {
    return { part: part.fieldname, fileName, bytes: await part.toBuffer() }
  } catch (error) {
    if ((error as { code?: string }).code !== 'FST_REQ_FILE_TOO_LARGE') throw brokenForm(error)
    const megabytes = uploadLimits.bytesPerFile / 1e6
    throw new BoardwrightError('too-large', `"${fileName}" is larger than the ${megabytes} MB one recording may have.`)
  }
}

function arrange(what: { fields: Record<string, string>; files: Map<string, UploadedFile> }): TestRunUpload {
  const fields = parsePart(TestRunFields.strict(), what.fields, 'body')
  const recordings = [...what.files.values()]
    .filter((file) => file.part !== sweepPart)
    .map((file) => ({ setting: file.part.slice(settingPartPrefix.length), file }))
  if (recordings.length === 0)
    throw new BoardwrightError(
      'setting-missing',
      `The upload has no recording: add a file part "${settingPartPrefix}NAME" for each setting.`,
    )
  return { fields, recordings, sweep: what.files.get(sweepPart) }
}

/**
 * Reads the multipart body of POST /api/test-runs into memory, within the limits of the contract.
 *
 * Errors: unsupported-media-type, bad-request (which part, why), too-large, setting-missing.
 */
export async function readUpload(request: FastifyRequest): Promise<TestRunUpload> {
  if (!request.isMultipart())
    throw new BoardwrightError('unsupported-media-type', 'Recordings are sent as multipart/form-data.')
  const fields: Record<string, string> = Object.create(null)
  const files = new Map<string, UploadedFile>()
  let bytesInAll = 0
  for await (const part of partsOf(request)) {
    checkName(part)
    if (part.fieldname in fields || files.has(part.fieldname)) throw wrong(part.fieldname, 'this part is there twice')
    if (part.type === 'field') {
      if (part.valueTruncated) throw wrong(part.fieldname, `at most ${uploadLimits.fieldBytes} bytes`)
      fields[part.fieldname] = String(part.value)
      continue
    }
    const file = await readFilePart(part)
    bytesInAll += file.bytes.length
    if (bytesInAll > uploadLimits.bytesInAll)
      throw new BoardwrightError('too-large', `The upload is larger than ${uploadLimits.bytesInAll / 1e6} MB in all.`)
    files.set(part.fieldname, file)
  }
  return arrange({ fields, files })
}
