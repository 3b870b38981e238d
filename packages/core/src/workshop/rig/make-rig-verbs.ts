import { usualRigName } from '../../model/rig.ts'
import type { VerbContext } from '../verb-context.ts'
import { calibrateLevels } from './calibrate-levels.ts'
import { findRig } from './find-rig.ts'
import { headroom } from './headroom.ts'
import { noteContactOverridden } from './note-contact.ts'
import type { RigVerbs } from './rig-verbs.ts'
import { saveRigSettings } from './save-rig-settings.ts'
import { storeCorrection } from './store-correction.ts'
import { storeHum, storeInputNoise, storeResistances } from './store-input.ts'

/** Binds the verbs about rigs to one workshop file. */
export function makeRigVerbs(context: VerbContext): RigVerbs {
  const { store } = context
  return {
    current: (name = usualRigName) => store.rigSettings.newest(name),
    version: (which) => findRig(context, which),
    history: (name = usualRigName) => store.rigSettings.history(name),
    names: () => [...new Set(store.rigSettings.all().map((settings) => settings.name))],
    save: (what) => saveRigSettings(context, what),
    calibrateLevels: (what) => calibrateLevels(context, what),
    storeCorrection: (what) => storeCorrection(context, what),
    storeInputNoise: (what) => storeInputNoise(context, what),
    storeHum: (what) => storeHum(context, what),
    headroom: (what) => headroom(context, what),
    storeResistances: (what) => storeResistances(context, what),
    noteContactOverridden: (what) => noteContactOverridden(context, what),
  }
}
