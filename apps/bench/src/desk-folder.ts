import { existsSync } from 'node:fs'
import { fileURLToPath } from 'node:url'

/** The built desk beside this app, or undefined when it is not built. The path holds for src/ and for dist/ alike. */
export function deskFolder(): string | undefined {
  const folder = fileURLToPath(new URL('../../dashboard/dist', import.meta.url))
  return existsSync(folder) ? folder : undefined
}
