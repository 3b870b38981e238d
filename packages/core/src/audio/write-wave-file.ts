import { closeSync, fsyncSync, openSync, renameSync, rmSync, writeFileSync } from 'node:fs'
import { type WaveToWrite, writeWave } from '../response/write-wave.ts'
import { notWritable } from './file-error.ts'

/**
 * Writes a WAV file. It is written aside, secured and then given its name, so that a player or a watched folder never
 * sees a half, and a full disk leaves an older file of that name as it was.
 * Errors: bad-argument (what cannot be a WAV file), file-not-writable, disk-full.
 */
export function writeWaveFile(path: string, wave: WaveToWrite): { bytes: number } {
  const bytes = writeWave(wave)
  const part = `${path}.part-${process.pid}`
  let isMade = false
  try {
    const handle = openSync(part, 'w')
    isMade = true
    try {
      writeFileSync(handle, bytes)
      fsyncSync(handle)
    } finally {
      closeSync(handle)
    }
    renameSync(part, path)
  } catch (error) {
    if (isMade) rmSync(part, { force: true })
    throw notWritable(path, error)
  }
  return { bytes: bytes.length }
}
