import type { SoundFamily } from '../model/rig.ts'
import type { ProgramCall } from './run-program.ts'
import type { SoundDevice } from './sound-device.ts'

/** Raw samples between a program and us: interleaved, little-endian. */
export type RawFormat = 'float32' | 'pcm32'

export interface SoundStream {
  device: SoundDevice
  rateHz: number
  channels: number
  latencyMs: number
}

/** The system's own player and recorder, run as child processes with raw samples over pipes. */
export interface SoundSystem {
  readonly family: SoundFamily
  readonly format: RawFormat
  /** False when devices can be used that are not listed; nothing but their names is known then. */
  readonly listsAll: boolean
  /** Errors: rig-failed. */
  listDevices(): Promise<SoundDevice[]>
  player(stream: SoundStream): ProgramCall
  recorder(stream: SoundStream): ProgramCall
  /** A message of player or recorder after which its sound no longer goes where it should, in words; null for any other. */
  troubleIn(messages: string): string | null
  /** True when the program says that it could not keep up: samples are missing, or silence was put between them. */
  hasGap(messages: string): boolean
}
