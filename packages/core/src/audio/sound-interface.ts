import { hasLostBlock, isRefused, repeatsAtMost } from '../model/finding.ts'
import type { RigSettings } from '../model/rig.ts'
import { measureRecording } from '../response/curve/measure-recording.ts'
import { silencesAround } from '../response/sweep/silences-around.ts'
import type { SweepSignal } from '../response/sweep/sweep-signal.ts'
import type { WaveAudio } from '../response/wave/wave-format.ts'
import { findSoundSystem } from './find-sound-system.ts'
import { recordThroughRig } from './record-through-rig.ts'
import type { RigDriver, RigRequest, RigSound } from './rig-driver.ts'
import type { SoundSystem } from './sound-system.ts'

export interface SoundInterfaceOptions {
  settings: RigSettings
  /** Environment of the programs that play and record; that of this process when left out. */
  environment?: NodeJS.ProcessEnv
}

/**
 * A rig driver that can also play a short sound, for the contact check and the level calibration; it is played again when
 * a program says that it did not keep up.
 */
export interface SoundInterface extends RigDriver {
  readonly kind: 'sound-interface'
  readonly settings: RigSettings
  record(sound: RigSound): Promise<WaveAudio>
}

/** A short sound must answer soon: times for it, s. */
const short = { silenceBeforeS: 0.1, silenceAfterS: 0.05, recordOnS: 0.1 }

/**
 * A rig with a sound interface: plays the sweep and records the board with the system's own programs. A recording that lost
 * or doubled a block is made again, at most twice; the last one is handed over whatever it is, and the recording checks say
 * so. With a loop-back the recording has it as its second channel. Whoever runs it says `playbackCaution` before its first sound.
 *
 * Errors of run: no-sound-system, level-too-high, bad-argument, device-missing, device-muted, device-volume, device-rate,
 * device-format, device-changed, rig-failed.
 */
export function makeSoundInterface(options: SoundInterfaceOptions): SoundInterface {
  const { settings, environment } = options
  const loopBackChannel = settings.input.loopBackChannel === null ? undefined : 1
  let found: SoundSystem | undefined
  const system = async () => {
    found ??= await findSoundSystem({ family: settings.family, environment })
    return found
  }
  return {
    kind: 'sound-interface',
    settings,
    async record({ samples, rateHz, signal }) {
      for (let repeat = 0; ; repeat++) {
        const sound = { samples, rateHz, signal, ...short, settings, system: await system() }
        const { audio, hasGap } = await recordThroughRig(sound)
        if (!hasGap || repeat === repeatsAtMost) return audio
      }
    },
    async run(request) {
      const { sweep, setting, signal } = request
      signal?.throwIfAborted()
      for (let repeat = 0; ; repeat++) {
        const onProgress = progressOf(request, repeat)
        const { samples, rateHz } = sweep
        const { audio, hasGap } = await recordThroughRig({
          ...silencesAround(sweep),
          samples,
          rateHz,
          signal,
          onProgress,
          settings,
          system: await system(),
        })
        if (repeat === repeatsAtMost || !wantsRepeat({ sweep, audio, hasGap, loopBackChannel })) {
          request.onProgress?.({ fraction: 1, activity: 'recorded' })
          const again = repeat === 0 ? '' : `, played ${repeat + 1} times`
          return { audio, origin: `sound interface, ${setting}${again}` }
        }
      }
    },
  }
}

function progressOf({ onProgress }: RigRequest, repeat: number): (fraction: number) => void {
  const activity =
    repeat === 0 ? 'playing the sweep' : `a block was lost, playing the sweep again (${repeat} of ${repeatsAtMost})`
  return (fraction) => onProgress?.({ fraction, activity })
}

/** A gap that a program told of counts when the recording is refused for any reason: it may have been in a silence. */
function wantsRepeat(options: {
  sweep: SweepSignal
  audio: WaveAudio
  hasGap: boolean
  loopBackChannel: number | undefined
}): boolean {
  const { sweep, audio, hasGap, loopBackChannel } = options
  const { findings } = measureRecording({ sweep, recording: audio, loopBackChannel })
  return (hasGap && isRefused(findings)) || hasLostBlock(findings)
}
