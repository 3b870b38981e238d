import { readdirSync, statSync } from 'node:fs'
import { join } from 'node:path'
import type { WaveAudio } from '../response/wave/wave-format.ts'
import { notReadable } from './file-error.ts'
import { readWaveFile } from './read-wave-file.ts'

/** A file in a folder, as it stood at one look. */
export interface FileLook {
  path: string
  bytes: number
  changedMs: number
}

/**
 * The file of this name in a folder, capitals or not; the newest when there are several.
 * Errors: file-not-readable for the folder.
 */
export function lookForFile(folder: string, name: string): FileLook | undefined {
  let names: string[]
  try {
    names = readdirSync(folder)
  } catch (error) {
    throw notReadable(folder, error)
  }
  const looks = names
    .filter((candidate) => candidate.toLowerCase() === name.toLowerCase())
    .flatMap((candidate) => {
      const path = join(folder, candidate)
      // It may have been taken away again since the folder was read.
      const stat = statSync(path, { throwIfNoEntry: false })
      return stat?.isFile() ? [{ path, bytes: stat.size, changedMs: stat.mtimeMs }] : []
    })
  return looks.sort((a, b) => b.changedMs - a.changedMs)[0]
}

/** How long a file must stay unchanged before it is believed, ms. */
export interface SettleTimes {
  /** For a WAV file that is as long as its header says. */
  completeMs: number
  /** For one that is not: its writer may pause, or has died. */
  stalledMs: number
}

/**
 * Watches one file through repeated looks. A call gives the sound once the file has settled, undefined before.
 * Errors (of a settled file): not-a-wave-file, file-not-readable, too-large.
 */
export function makeSettling(times: SettleTimes): (look: FileLook, nowMs: number) => WaveAudio | undefined {
  let last: FileLook | undefined
  let sinceMs = 0
  let foundIncomplete = false
  return (look, nowMs) => {
    if (!last || look.path !== last.path || look.bytes !== last.bytes || look.changedMs !== last.changedMs) {
      last = look
      sinceMs = nowMs
      foundIncomplete = false
      return undefined
    }
    const stillMs = nowMs - sinceMs
    const stalled = stillMs >= times.stalledMs
    if (look.bytes === 0 && !stalled) return undefined
    if (stillMs < times.completeMs || (foundIncomplete && !stalled)) return undefined
    try {
      const audio = readWaveFile(look.path)
      if (!audio.truncated || stalled) return audio
    } catch (error) {
      if (stalled) throw error
    }
    foundIncomplete = true
    return undefined
  }
}
