import { readFileSync } from 'node:fs'
import { BoardwrightError } from '@boardwright/core'

/**
 * The text of a file a person made: UTF-8, or what older programs write (windows-1252) where it is not.
 * Errors: file-not-readable.
 */
export function readTextFile(path: string): string {
  try {
    const bytes = readFileSync(path)
    try {
      return new TextDecoder('utf-8', { fatal: true }).decode(bytes)
    } catch {
      return new TextDecoder('windows-1252').decode(bytes)
    }
  } catch (error) {
    throw new BoardwrightError('file-not-readable', `${path} cannot be read: ${(error as Error).message}.`, {
      cause: error,
    })
  }
}
