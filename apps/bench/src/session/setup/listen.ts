import { BoardwrightError, formatDbfs, loudestDbfs, type RigSettings, toneLevels } from '@boardwright/core'
import type { RigDriver } from '@boardwright/core/audio'

/** A tone that every voltmeter reads rightly, Hz. */
export const levelToneHz = 200
const fadeS = 0.05
/** From here on an input may be clipping, dBFS. */
const nearlyFullDbfs = -0.5

/** A rig that has settings and can play a sound. */
export interface SettableRig {
  rig: RigDriver
  settings: RigSettings
  signal?: AbortSignal
}

/** The rig's settings. Errors: no-rig. */
export function needSettings(rig: RigDriver): RigSettings {
  if (!rig.settings) throw new BoardwrightError('no-rig', 'The rig is not set up yet.')
  return rig.settings
}

/** A sine at a level, dBFS, that fades in and out. */
function tone(options: { rateHz: number; durationS: number; levelDbfs: number }): Float64Array {
  const { rateHz, durationS, levelDbfs } = options
  const length = Math.round(durationS * rateHz)
  const fade = Math.round(fadeS * rateHz)
  const amplitude = 10 ** (levelDbfs / 20)
  return Float64Array.from({ length }, (_, i) => {
    const edge = Math.min(1, Math.min(i, length - 1 - i) / fade)
    const rise = 0.5 - 0.5 * Math.cos(Math.PI * edge)
    return rise * amplitude * Math.sin((2 * Math.PI * levelToneHz * i) / rateHz)
  })
}

async function record({ rig, settings, signal }: SettableRig, samples: Float64Array): Promise<Float64Array> {
  if (!rig.record) throw new Error('this rig cannot play a sound')
  const audio = await rig.record({ samples, rateHz: settings.rateHz, signal })
  return audio.channels[0]
}

export interface HeardTone {
  playedDbfs: number
  recordedDbfs: number
  samples: Float64Array
}

/**
 * Plays a tone of 200 Hz at the level limit and says how loud it came back. Errors: those of the rig; recording-refused when
 * the input is overloaded or hears nothing.
 */
export async function hearTone(listening: SettableRig, { durationS }: { durationS: number }): Promise<HeardTone> {
  const { rateHz, maxLevelDbfs } = listening.settings
  const samples = await record(listening, tone({ rateHz, durationS, levelDbfs: maxLevelDbfs }))
  const found = toneLevels({ samples, rateHz, frequencyHz: [levelToneHz] })?.tones[0]
  if (loudestDbfs(samples) > nearlyFullDbfs)
    throw new BoardwrightError(
      'recording-refused',
      `The input is overloaded: the tone comes back at ${formatDbfs(loudestDbfs(samples))}.`,
      { remedy: 'Turn the input down, or lower the level limit of the rig, and play it again.' },
    )
  if (!found || !(found.amplitude > 10 * found.noiseAmplitude))
    throw new BoardwrightError('recording-refused', 'The tone did not come back: nothing stands out of the noise.', {
      remedy: 'Plug the output into the input, look that both channels are the right ones, and play it again.',
    })
  return { playedDbfs: maxLevelDbfs, recordedDbfs: 20 * Math.log10(found.amplitude), samples }
}

/** What comes in while nothing is played. Errors: those of the rig. */
export const hearSilence = (listening: SettableRig, { durationS }: { durationS: number }): Promise<Float64Array> =>
  record(listening, new Float64Array(Math.round(durationS * listening.settings.rateHz)))
