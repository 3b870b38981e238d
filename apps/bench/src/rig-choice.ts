import { existsSync, statSync } from 'node:fs'
import { resolve } from 'node:path'
import { BoardwrightError, type Product } from '@boardwright/core'
import { makeSimulatedRig, makeWatchedFolder, type RigDriver } from '@boardwright/core/audio'
import { UsageError } from './report-error.ts'

export interface RigChoice {
  rig: 'simulated' | 'folder'
  folder?: string
  seed?: number
  /** How many times faster than a real rig the simulated one is. */
  speed?: number
}

/** The rig driver that was asked for, and what it is in words. Errors: file-not-readable (folder). */
export async function chooseRig(choice: RigChoice, product: Product): Promise<{ rig: RigDriver; label: string }> {
  if (choice.rig === 'folder') {
    if (choice.folder === undefined)
      throw new UsageError('--rig folder needs --folder PATH: the folder where recordings are dropped.')
    const folder = resolve(choice.folder)
    if (!existsSync(folder) || !statSync(folder).isDirectory())
      throw new BoardwrightError('file-not-readable', `${folder} is no folder.`)
    return { rig: makeWatchedFolder({ folder }), label: `recordings dropped in ${folder}` }
  }
  if (choice.folder !== undefined) throw new UsageError('--folder belongs to --rig folder.')
  return {
    rig: makeSimulatedRig({ product, seed: choice.seed, speed: choice.speed }),
    label: 'computed boards; no real board is measured',
  }
}
