import type { HardSupply } from '../model/hard-plan.ts'
import type { RigSettings } from '../model/rig.ts'
import type { TestRun } from '../model/test-run.ts'
import type { SweepSignal } from '../response/sweep/sweep-signal.ts'
import type { WaveAudio } from '../response/wave/wave-format.ts'
import { pause } from './pause.ts'
import type { RigDriver, RigProgress } from './rig-driver.ts'

/** One sound of the pressing: the loud sweep or the ladder, at one supply. */
export interface HardSound {
  serial: string
  /** The setting of the controls. */
  setting: string
  supply: HardSupply
  part: 'sweep' | 'ladder'
  samples: Float64Array
  rateHz: number
  onProgress?: (progress: RigProgress) => void
  signal?: AbortSignal
}

/** What plays the sounds of the pressing through a board and records them. */
export interface HardRig {
  readonly kind: TestRun['rig']
  readonly settings?: RigSettings
  /** True when it sets the supply by itself; else the maker does, and is asked to. */
  readonly setsSupply: boolean
  record(sound: HardSound): Promise<WaveAudio>
}

/** How often progress is told, ms. */
const tellEveryMs = 100

/** Name of the recording of a sound in a watched folder, without the serial number: hard-fresh-ladder. */
export const hardSoundName = ({ supply, part }: Pick<HardSound, 'supply' | 'part'>): string =>
  `hard-${supply.name}-${part}`

/**
 * The rig of the test as one that presses boards. A rig that takes files waits for SERIAL-hard-SUPPLY-sweep.wav and
 * SERIAL-hard-SUPPLY-ladder.wav. Errors of record: those of the rig.
 */
export const makeHardRig = (rig: RigDriver): HardRig => ({
  kind: rig.kind,
  get settings() {
    return rig.settings
  },
  setsSupply: rig.kind === 'simulated',
  record: (sound) => (rig.record ? playAndTell(rig, sound) : waitForFile(rig, sound)),
})

async function waitForFile(rig: RigDriver, sound: HardSound): Promise<WaveAudio> {
  const { serial, samples, rateHz, onProgress, signal } = sound
  const sweep: SweepSignal = { ...playsNothing, samples, rateHz }
  const { audio } = await rig.run({ serial, setting: hardSoundName(sound), sweep, onProgress, signal })
  return audio
}

/** A watched folder plays nothing: only the name of the recording counts. */
const playsNothing: Omit<SweepSignal, 'samples' | 'rateHz'> = {
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

/** A rig that plays any sound tells nothing while it does: the clock does. */
async function playAndTell(rig: RigDriver, sound: HardSound): Promise<WaveAudio> {
  const { serial, setting, supply, samples, rateHz, onProgress, signal } = sound
  const stop = new AbortController()
  const telling = tellTime({ durationMs: (1000 * samples.length) / rateHz, onProgress, signal: stop.signal })
  try {
    const supplyV = rig.kind === 'simulated' ? supply.voltageV : undefined
    return await rig.record!({ samples, rateHz, board: { serial, setting, supplyV }, signal })
  } finally {
    stop.abort()
    await telling
  }
}

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
