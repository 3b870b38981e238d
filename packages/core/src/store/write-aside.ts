import { closeSync, fsyncSync, openSync, renameSync } from 'node:fs'
import { dirname } from 'node:path'

/** Makes sure that what was written to a file is on the disk. */
function secureFile(path: string): void {
  const handle = openSync(path, 'r+')
  try {
    fsyncSync(handle)
  } finally {
    closeSync(handle)
  }
}

/** Gives a finished, secured file its name: there is the old file or the new one, never a half. */
export function nameFinishedFile(part: string, path: string): void {
  secureFile(part)
  renameSync(part, path)
  // The name itself must reach the disk too. Windows cannot open a folder, and needs no such step.
  if (process.platform !== 'win32') {
    const folder = openSync(dirname(path), 'r')
    try {
      fsyncSync(folder)
    } finally {
      closeSync(folder)
    }
  }
}
