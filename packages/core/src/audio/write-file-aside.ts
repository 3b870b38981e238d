import { closeSync, fsyncSync, openSync, renameSync, rmSync, statSync, writeFileSync } from 'node:fs'
import { notWritable } from './file-error.ts'

/**
 * Writes a file. It is written aside, secured and then given its name, so that a player or a watched folder never sees a
 * half, and a full disk leaves an older file of that name as it was. What is no plain file (a pipe, a device) is written
 * to directly.
 * Errors: file-not-writable, disk-full.
 */
export function writeFileAside(path: string, content: Uint8Array | string): void {
  const part = `${path}.part-${process.pid}`
  let isMade = false
  try {
    const there = statSync(path, { throwIfNoEntry: false })
    if (there && !there.isFile() && !there.isDirectory()) {
      writeFileSync(path, content)
      return
    }
    const handle = openSync(part, 'w')
    isMade = true
    try {
      writeFileSync(handle, content)
      fsyncSync(handle)
    } finally {
      closeSync(handle)
    }
    renameSync(part, path)
  } catch (error) {
    if (isMade) rmSync(part, { force: true })
    throw notWritable(path, error)
  }
}
