import { homedir, hostname } from 'node:os'
import { join, resolve } from 'node:path'

/** File name ending of a workshop: an SQLite file of our own schema. */
export const workshopEnding = '.boardwright'

/** Where the workshop lies when nobody says otherwise: the user's own data folder, as each system has it. */
export function defaultWorkshopPath(env: NodeJS.ProcessEnv, platform: NodeJS.Platform = process.platform): string {
  const name = `workshop${workshopEnding}`
  if (platform === 'win32') return join(env.APPDATA ?? join(homedir(), 'AppData', 'Roaming'), 'Boardwright', name)
  if (platform === 'darwin') return join(homedir(), 'Library', 'Application Support', 'Boardwright', name)
  // XDG Base Directory Specification: $XDG_DATA_HOME, else ~/.local/share; a relative value is to be ignored.
  const base = env.XDG_DATA_HOME?.startsWith('/') ? env.XDG_DATA_HOME : join(homedir(), '.local', 'share')
  return join(base, 'boardwright', name)
}

/** The workshop file of a command: --file, else BOARDWRIGHT_FILE, else the default. */
export const workshopPath = (choice: { file?: string; env: NodeJS.ProcessEnv }): string =>
  resolve(choice.file ?? (choice.env.BOARDWRIGHT_FILE || defaultWorkshopPath(choice.env)))

/** The name that stands in the journal: --station, else BOARDWRIGHT_STATION, else the computer's name. */
export const stationName = (choice: { station?: string; env: NodeJS.ProcessEnv }): string =>
  choice.station || choice.env.BOARDWRIGHT_STATION || hostname()
