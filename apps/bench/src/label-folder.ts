import { dirname, join, resolve } from 'node:path'

/** Where labels are written: the folder that was named, else `labels` beside the workshop file. */
export const labelFolder = (workshopFile: string, named?: string): string =>
  resolve(named ?? join(dirname(workshopFile), 'labels'))
