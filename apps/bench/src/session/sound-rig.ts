import { BoardwrightError, usualRigName } from '@boardwright/core'
import { makeSoundInterface, type RigDriver, type SoundInterface } from '@boardwright/core/audio'
import type { Workshop } from '@boardwright/core/workshop'

/**
 * The rig with a sound interface, always by the settings in force: what the set-up guide or another program saves counts from
 * the next sound on. Errors of run and record: no-rig, and those of the sound interface.
 */
export function makeSoundRig(options: {
  workshop: Workshop
  name?: string
  environment?: NodeJS.ProcessEnv
}): RigDriver {
  const { workshop, name = usualRigName, environment } = options
  let made: SoundInterface | undefined
  const present = (): SoundInterface => {
    const settings = workshop.rig.current(name)
    if (!settings) throw new BoardwrightError('no-rig', `The rig "${name}" is not set up yet.`)
    if (made?.settings.version !== settings.version) made = makeSoundInterface({ settings, environment })
    return made
  }
  return {
    kind: 'sound-interface',
    get settings() {
      return workshop.rig.current(name)
    },
    pinned: present,
    run: async (request) => present().run(request),
    record: async (sound) => present().record(sound),
  }
}
