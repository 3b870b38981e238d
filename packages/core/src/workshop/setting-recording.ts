import type { WaveAudio } from '../response/wave/wave-format.ts'

/** One recording as it comes from a rig, a file or an upload. */
export interface SettingRecording {
  setting: string
  audio: WaveAudio
  /** Where it came from, for the record: a file name, or the rig. */
  origin: string
}
