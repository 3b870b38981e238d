import { type WaveToWrite, writeWave } from '../response/wave/write-wave.ts'
import { writeFileAside } from './write-file-aside.ts'

/**
 * Writes a WAV file, whole or not at all.
 * Errors: bad-argument (what cannot be a WAV file), file-not-writable, disk-full.
 */
export function writeWaveFile(path: string, wave: WaveToWrite): { bytes: number } {
  const bytes = writeWave(wave)
  writeFileAside(path, bytes)
  return { bytes: bytes.length }
}
