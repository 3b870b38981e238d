import { closeSync, fstatSync, openSync, readFileSync } from 'node:fs'
import { BoardwrightError, isBoardwrightError } from '../model/error.ts'
import { readWave } from '../response/read-wave.ts'
import type { WaveAudio } from '../response/wave-format.ts'
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

function readBytes(path: string): Uint8Array {
  let handle: number | undefined
  try {
    handle = openSync(path, 'r')
    const { size } = fstatSync(handle)
    if (size > limitBytes)
      throw new BoardwrightError('too-large', `${path} is ${Math.round(size / 1e6)} MB, too large for one recording.`)
    return readFileSync(handle)
  } catch (error) {
    throw notReadable(path, error)
  } finally {
    if (handle !== undefined) closeSync(handle)
  }
}
