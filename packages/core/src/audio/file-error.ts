import { BoardwrightError, isBoardwrightError } from '../model/error.ts'

const systemCode = (error: unknown): string =>
  error instanceof Error && !isBoardwrightError(error) && 'code' in error && typeof error.code === 'string'
    ? error.code
    : ''

/** Why the system did not let a file be read, in words. */
const readingReasons: Record<string, string> = {
  ENOENT: 'there is no such file',
  EACCES: 'reading it is not permitted',
  EPERM: 'reading it is not permitted',
  EISDIR: 'it is a folder',
  ENOTDIR: 'a part of the path is not a folder',
}

/** The system's error of reading a file, as one of the catalogue; anything else comes back as it is. */
export function notReadable(path: string, error: unknown): unknown {
  const code = systemCode(error)
  if (code === '') return error
  const reason = readingReasons[code] ?? `the system says ${code}`
  return new BoardwrightError('file-not-readable', `${path} cannot be read: ${reason}.`, { cause: error })
}

const writingReasons: Record<string, string> = {
  ENOENT: 'its folder does not exist',
  EACCES: 'writing there is not permitted',
  EPERM: 'writing there is not permitted',
  EROFS: 'the disk may only be read',
  EISDIR: 'it is a folder',
  ENOTDIR: 'a part of the path is not a folder',
}

/** The system's error of writing a file, as one of the catalogue; anything else comes back as it is. */
export function notWritable(path: string, error: unknown): unknown {
  const code = systemCode(error)
  if (code === '') return error
  if (code === 'ENOSPC' || code === 'EDQUOT' || code === 'EFBIG')
    return new BoardwrightError('disk-full', `There is no space left to write ${path}.`, { cause: error })
  const reason = writingReasons[code] ?? `the system says ${code}`
  return new BoardwrightError('file-not-writable', `${path} cannot be written: ${reason}.`, { cause: error })
}
