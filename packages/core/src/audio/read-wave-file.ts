import { closeSync, fstatSync, openSync, readFileSync, readSync } from 'node:fs'
import { BoardwrightError, isBoardwrightError } from '../model/error.ts'
import { readWave } from '../response/wave/read-wave.ts'
import type { WaveAudio } from '../response/wave/wave-format.ts'
import { notReadable } from './file-error.ts'

/** Far above any sensible recording (10 min of stereo at 192 kHz, 32 bits): beyond it a wrong file was named. */
const limitBytes = 1_000_000_000

/**
 * Reads a WAV file from the disk.
 * @returns rate in Hz; samples per channel, full scale = 1
 * Errors: file-not-readable, not-a-wave-file, too-large; each names the path.
 */
export function readWaveFile(path: string): WaveAudio {
  try {
    return readWave(readBytes(path))
  } catch (error) {
    if (isBoardwrightError(error) && error.code === 'not-a-wave-file')
      throw new BoardwrightError('not-a-wave-file', `${path}: ${error.message}`, { cause: error })
    throw error
  }
}

const tooLarge = (path: string, bytes: number) =>
  new BoardwrightError('too-large', `${path} is ${Math.round(bytes / 1e6)} MB or more, too large for one recording.`)

/** What comes from a pipe or a device has no size to ask for, and may never end. */
function readStream(path: string, handle: number): Uint8Array {
  const chunks: Uint8Array[] = []
  let total = 0
  for (;;) {
    const chunk = new Uint8Array(1 << 20)
    const count = readSync(handle, chunk)
    if (count === 0) return Buffer.concat(chunks)
    total += count
    if (total > limitBytes) throw tooLarge(path, total)
    chunks.push(chunk.subarray(0, count))
  }
}

function readBytes(path: string): Uint8Array {
  let handle: number | undefined
  try {
    handle = openSync(path, 'r')
    const stat = fstatSync(handle)
    if (stat.size > limitBytes) throw tooLarge(path, stat.size)
    return stat.isFile() || stat.isDirectory() ? readFileSync(handle) : readStream(path, handle)
  } catch (error) {
    throw notReadable(path, error)
  } finally {
    if (handle !== undefined) closeSync(handle)
  }
}
