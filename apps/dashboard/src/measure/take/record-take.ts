import { hasLostBlock, makeSweep, repeatsAtMost, type SweepSettings, silencesAround } from '@boardwright/core'
import type { Checker } from '../check/open-checker.ts'
import type { Rig } from '../rig-choice/rig-choice.ts'
import { type PlayAndRecord, playAndRecord } from '../sound/play-and-record.ts'
import type { Take } from './take.ts'

export interface RecordTake extends Pick<PlayAndRecord, 'signal'> {
  setting: string
  stimulus: SweepSettings
  wantedUncertaintyDb: number
  rig: Rig
  checker: Checker
  onProgress: (progress: TakeProgress) => void
}

export interface TakeProgress {
  doing: 'playing' | 'checking'
  fraction: number
  /** Peak of the response since the last progress, full scale = 1. */
  peak: number
  /** 0 for the first time the sweep is played. */
  repeat: number
}

/**
 * Plays the sweep, records the board at one setting and checks the recording. A sweep that lost a block is played again by
 * itself, at most twice; the last recording is handed over whatever it is, with what the checks say.
 *
 * Errors: those of playAndRecord.
 */
export async function recordTake(options: RecordTake): Promise<Take> {
  const { setting, stimulus, wantedUncertaintyDb, rig, checker, signal, onProgress } = options
  const { rateHz } = stimulus
  const sweep = makeSweep(stimulus)
  const { loopBackChannel } = rig
  for (let repeat = 0; ; repeat++) {
    const { channels, bits } = await playAndRecord({
      ...rig,
      ...silencesAround(sweep),
      inputChannels: loopBackChannel === null ? [rig.inputChannel] : [rig.inputChannel, loopBackChannel],
      rateHz,
      samples: sweep.samples,
      signal,
      onProgress: (progress) => onProgress({ ...progress, doing: 'playing', repeat }),
    })
    onProgress({ doing: 'checking', fraction: 1, peak: 0, repeat })
    const check = await checker.check({ stimulus, wantedUncertaintyDb, channels })
    signal.throwIfAborted()
    if (repeat === repeatsAtMost || !hasLostBlock(check.findings))
      return { setting, rateHz, channels, check, played: repeat + 1, bits }
  }
}
