import type { ChildProcessWithoutNullStreams } from 'node:child_process'
import type { Product } from '@boardwright/core'
import type { SoundServer } from './sound-server.mjs'

export type Gains = readonly [number, number, number]

export interface Board {
  /** Puts the board in, in place of what was there, before the sink `into`. */
  put(gains: Gains, into?: string): void
  takeOut(): void
}

export interface RunOptions {
  environment: NodeJS.ProcessEnv
  /** The workshop file. */
  file: string
  /** No file may grow beyond this, as on a disk that is full. */
  limitKilobytes?: number
  /** Changed at each prompt to set the board. */
  board?: Board
  /** What is put in at each setting. */
  gains?: Record<string, Gains>
}

export interface Ended {
  code: number | null
  stdout: string
  stderr: string
}

export interface Running {
  child: ChildProcessWithoutNullStreams
  ended: Promise<Ended>
  until(sight: RegExp): Promise<string>
  answer(line?: string): void
}

export function equaliserProduct(durationS?: number): Product
export function makeWorkshopFile(file: string, product: Product): void
export const boards: Record<'max' | 'min' | 'wire' | 'dull', Gains>
export function makeBoard(server: SoundServer, master?: string): Board
export function startBoardwright(args: readonly string[], options: RunOptions): Running
export function runBoardwright(args: readonly string[], options: RunOptions): Promise<Ended>
