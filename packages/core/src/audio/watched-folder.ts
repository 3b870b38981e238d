import { mkdirSync, renameSync } from 'node:fs'
import { basename, extname, join } from 'node:path'
import type { WaveAudio } from '../response/wave/wave-format.ts'
import { notWritable } from './file-error.ts'
import { pause } from './pause.ts'
import type { RigDriver } from './rig-driver.ts'
import { lookForFile, makeSettling, type SettleTimes } from './settled-file.ts'

export interface WatchedFolderOptions {
  folder: string
  /** Time between two looks at the folder, ms. Looking works where the system's change events do not: network folders. */
  lookEveryMs?: number
  settle?: SettleTimes
}

/** Folder inside the watched one that takes the recordings that were used, so that none is used twice. */
const usedFolder = 'measured'

/**
 * A rig that is run by hand: the sweep is played and recorded with any program, and the recording is dropped into a
 * folder as SERIAL-SETTING.wav, capitals or not. `run` waits until the file is there and no longer grows, reads it and
 * moves it to `measured/`. A file that stays shorter than its header says is read after some seconds all the same: the
 * recording checks then say that it is cut off.
 * Errors: file-not-readable, file-not-writable, not-a-wave-file, too-large.
 */
export function makeWatchedFolder(options: WatchedFolderOptions): RigDriver {
  const { folder, lookEveryMs = 100, settle = { completeMs: 300, stalledMs: 4000 } } = options
  return {
    kind: 'wave-files',
    async run({ serial, setting, onProgress, signal }) {
      const name = `${serial}-${setting}.wav`
      const settling = makeSettling(settle)
      onProgress?.({ fraction: 0, activity: `waiting for ${name} in ${folder}` })
      for (;;) {
        signal?.throwIfAborted()
        const look = lookForFile(folder, name)
        if (look) {
          onProgress?.({ fraction: 0.5, activity: `${basename(look.path)} is being written` })
          const audio: WaveAudio | undefined = settling(look, performance.now())
          if (audio) {
            const origin = moveToUsed(folder, look.path)
            onProgress?.({ fraction: 1, activity: `${basename(look.path)} was read` })
            return { audio, origin }
          }
        }
        await pause(lookEveryMs, signal)
      }
    },
  }
}

/** Moves a used recording away, with the time in its name. @returns its new path inside the watched folder */
function moveToUsed(folder: string, path: string): string {
  const extension = extname(path)
  const time = new Date().toISOString().replace(/[-:.]/g, '')
  const used = join(usedFolder, `${basename(path, extension)}-${time}${extension}`)
  try {
    mkdirSync(join(folder, usedFolder), { recursive: true })
    renameSync(path, join(folder, used))
  } catch (error) {
    throw notWritable(join(folder, used), error)
  }
  return used
}
