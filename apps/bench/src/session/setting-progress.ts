import type { ResponseCurve } from '@boardwright/core'

/** How far one setting of a test is. */
export interface SettingProgress {
  setting: string
  state: 'waiting' | 'running' | 'recorded'
  /** 0 to 1 */
  fraction: number
  activity: string
  /** For the screen only: the verdict is computed by the workshop from the recording. */
  curve?: ResponseCurve
}
