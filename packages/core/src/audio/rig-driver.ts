import type { RigSettings } from '../model/rig.ts'
import type { TestRun } from '../model/test-run.ts'
import type { SweepSignal } from '../response/sweep/sweep-signal.ts'
import type { WaveAudio } from '../response/wave/wave-format.ts'

export interface RigProgress {
  /** Share of this setting that is done, 0 to 1. */
  fraction: number
  /** What happens now, in a few words for the screen. */
  activity: string
}

export interface RigRequest {
  serial: string
  /** Another word than before says that the same board was put in anew; only a simulated rig needs to be told. */
  setUp?: string
  setting: string
  /** What is to be played. */
  sweep: SweepSignal
  onProgress?: (progress: RigProgress) => void
  /** Stops the run; the promise is then rejected with the signal's reason. */
  signal?: AbortSignal
}

/** A tone or any other short sound that is played without a sweep's checks. */
export interface RigSound {
  /** Full scale = 1. */
  samples: Float64Array
  rateHz: number
  /** Which board is listened to, at which setting: a simulated rig has no other way to know. */
  board?: {
    serial: string
    setting: string
    /** Voltage of its battery, V; that of the circuit when left out. */
    supplyV?: number
  }
  signal?: AbortSignal
}

/**
 * Plays a sweep through a board and brings back the recording, one setting a call. Errors: rig-failed, not-a-wave-file,
 * file-not-readable.
 */
export interface RigDriver {
  readonly kind: TestRun['rig']
  /** The version of its settings that it works by; none for a rig that has no settings. */
  readonly settings?: RigSettings
  run(request: RigRequest): Promise<{ audio: WaveAudio; origin: string }>
  /** The same rig, held at the settings it has now, for a run that must not change half-way. */
  pinned?(): RigDriver
  /** Plays a short sound and records, for contact check and set-up; a rig that only takes files has none. */
  record?(sound: RigSound): Promise<WaveAudio>
}
