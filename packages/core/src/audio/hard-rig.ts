import type { HardSupply } from '../model/hard-plan.ts'
import type { TestRun } from '../model/test-run.ts'
import type { WaveAudio } from '../response/wave/wave-format.ts'
import { pause } from './pause.ts'
import type { RigDriver } from './rig-driver.ts'
import type { SoundInterface } from './sound-interface.ts'

/** One sound of the pressing: the loud sweep or the ladder, at one supply. */
export interface HardSound {
  serial: string
  /** The setting of the controls. */
  setting: string
  supply: HardSupply
  part: 'sweep' | 'ladder'
  samples: Float64Array
  rateHz: number
  /** Share of this sound that is done. */
  onProgress?: (progress: { fraction: number; activity: string }) => void
  signal?: AbortSignal
}

/** What plays any sound through a board and records it. */
export interface HardRig {
  readonly kind: TestRun['rig']
  /** True when it sets the supply by itself; else the maker does, and is asked to. */
  readonly setsSupply: boolean
  record(sound: HardSound): Promise<{ audio: WaveAudio; origin: string }>
}

/** How often progress is told, ms. */
const tellEveryMs = 100

/** Name of the recording of a sound in a watched folder, without the serial number: hard-fresh-ladder. */
export const hardSoundName = ({ supply, part }: Pick<HardSound, 'supply' | 'part'>): string =>
  `hard-${supply.name}-${part}`

/**
 * Presses boards through the rig of the test: recordings dropped in a folder as SERIAL-hard-SUPPLY-sweep.wav and
 * SERIAL-hard-SUPPLY-ladder.wav.
 */
export const makeFolderHardRig = (folder: RigDriver): HardRig => ({
  kind: folder.kind,
  setsSupply: false,
  record: (sound) =>
    folder.run({
      serial: sound.serial,
      setting: hardSoundName(sound),
      // A watched folder plays nothing: only the name counts.
      sweep: { ...silentSweep, samples: sound.samples, rateHz: sound.rateHz },
      onProgress: sound.onProgress,
      signal: sound.signal,
    }),
})

const silentSweep = {
  settings: {
    rateHz: 48_000,
    durationS: 1,
    fromHz: 20,
    toHz: 20_000,
    levelDbfs: -80,
    repeats: 1,
    silenceBeforeS: 0,
    silenceAfterS: 0,
    markers: false,
  },
  rateS: null,
  bodies: [],
  markers: [],
  runInS: 0,
  runOutS: 0,
}

/** Presses boards through a sound interface, at levels up to the limit of the rig. Errors: those of its `record`. */
export const makeSoundHardRig = (sound: SoundInterface): HardRig => ({
  kind: sound.kind,
  setsSupply: false,
  async record({ supply, part, samples, rateHz, onProgress, signal }) {
    const stop = new AbortController()
    const durationMs = (1000 * samples.length) / rateHz
    const telling = tellTime({ durationMs, onProgress, signal: stop.signal })
    try {
      const audio = await sound.record({ samples, rateHz, signal })
      return { audio, origin: `sound interface, ${hardSoundName({ supply, part })}` }
    } finally {
      stop.abort()
      await telling
    }
  },
})

/** Tells progress by the clock until it is stopped. */
async function tellTime(options: {
  durationMs: number
  onProgress: HardSound['onProgress']
  signal: AbortSignal
}): Promise<void> {
  const { durationMs, onProgress, signal } = options
  const beganMs = performance.now()
  while (!signal.aborted) {
    const fraction = Math.min(1, (performance.now() - beganMs) / durationMs)
    onProgress?.({ fraction, activity: fraction < 1 ? 'playing' : 'the recording is coming in' })
    await pause(tellEveryMs, signal).catch(() => {})
  }
}
