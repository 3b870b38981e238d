import { BoardwrightError } from '../model/error.ts'
import { type SoundFamily, soundFamilies } from '../model/rig.ts'
import { openAlsa } from './alsa-sound.ts'
import { openPipeWire } from './pipewire-sound.ts'
import { openPulseAudio } from './pulse-sound.ts'
import type { SoundSystem } from './sound-system.ts'
import { openSox } from './sox-sound.ts'

const openers: Record<SoundFamily, (environment: NodeJS.ProcessEnv) => Promise<SoundSystem | null>> = {
  pipewire: openPipeWire,
  pulseaudio: openPulseAudio,
  alsa: openAlsa,
  sox: openSox,
}

/** How each family is called in a sentence. */
const familyNames: Record<SoundFamily, string> = {
  pipewire: 'PipeWire (pw-cat)',
  pulseaudio: 'PulseAudio (pacat)',
  alsa: 'ALSA (aplay)',
  sox: 'sox',
}

/**
 * Finds the sound system: the first family whose programs are installed and whose server answers, or the one that is asked
 * for.
 *
 * @param options.environment of the programs; that of this process when left out
 * Errors: no-sound-system.
 */
export async function findSoundSystem(
  options: { family?: SoundFamily | null; environment?: NodeJS.ProcessEnv } = {},
): Promise<SoundSystem> {
  const { family, environment = process.env } = options
  for (const candidate of family ? [family] : soundFamilies) {
    const system = await openers[candidate](environment)
    if (system) return system
  }
  throw new BoardwrightError(
    'no-sound-system',
    family
      ? `The sound system ${familyNames[family]} is not installed or not running.`
      : `No sound system was found: ${soundFamilies.map((f) => familyNames[f]).join(', ')} do not answer.`,
  )
}
