import { BoardwrightError } from '../model/error.ts'
import type { RigSettings } from '../model/rig.ts'
import { fadeEnds, limitLevel } from '../response/level/limit-level.ts'
import type { WaveAudio } from '../response/wave/wave-format.ts'
import { checkDevices, needUnchanged } from './check-devices.ts'
import { type PlayAndRecord, playAndRecord } from './play-and-record.ts'
import type { SoundSystem } from './sound-system.ts'

export interface RecordThroughRig
  extends Pick<PlayAndRecord, 'onProgress' | 'signal' | 'silenceBeforeS' | 'silenceAfterS' | 'recordOnS'> {
  settings: RigSettings
  system: SoundSystem
  /** What is played, full scale = 1. */
  samples: Float64Array
  /** Rate of the samples, Hz; must be the rig's. */
  rateHz: number
}

/**
 * Plays through the rig and records once. Level, devices, volumes, mutes and rates are checked before the first sound, and
 * the devices again after the last.
 *
 * @returns the response in channel 0, and the looped-back stimulus in channel 1 when the rig has a loop-back; `hasGap` when
 *   player or recorder said that it did not keep up
 * Errors: level-too-high, bad-argument, device-missing, device-muted, device-volume, device-rate, device-format,
 * device-changed, rig-failed.
 */
export async function recordThroughRig(options: RecordThroughRig): Promise<{ audio: WaveAudio; hasGap: boolean }> {
  const { settings, system, samples, rateHz, signal } = options
  limitLevel({ samples, maxLevelDbfs: settings.maxLevelDbfs })
  if (rateHz !== settings.rateHz)
    throw new BoardwrightError(
      'device-rate',
      `The sweep is made for ${rateHz} Hz, the rig runs at ${settings.rateHz} Hz.`,
    )
  const devices = checkDevices(settings, await system.listDevices(), system)
  signal?.throwIfAborted()
  const { channel, loopBackChannel } = settings.input
  const { channels, hasGap } = await playAndRecord({
    ...options,
    ...devices,
    samples: fadeEnds(samples, rateHz),
    outputChannel: settings.output.channel,
    inputChannels: loopBackChannel === null ? [channel] : [channel, loopBackChannel],
  })
  needUnchanged(devices, await system.listDevices(), system)
  const isFloat = system.format === 'float32'
  const audio = { rateHz, channels, bits: 32, truncated: false }
  return { audio: { ...audio, sampleFormat: isFloat ? 'float32' : 'pcm32' }, hasGap }
}
