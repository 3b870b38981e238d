// Sound files and rig drivers: Node only.

export { playbackCaution } from '../response/level/limit-level.ts'
export { checkDevices } from './check-devices.ts'
export { findSoundSystem } from './find-sound-system.ts'
export { type HardRig, type HardSound, hardSoundName, makeHardRig } from './hard-rig.ts'
export { readWaveFile } from './read-wave-file.ts'
export type { RigDriver, RigProgress, RigRequest, RigSound } from './rig-driver.ts'
export type { RigDrift } from './simulated-drift.ts'
export { makeSimulatedRig, type SimulatedRigOptions } from './simulated-rig.ts'
export type { SoundDevice } from './sound-device.ts'
export {
  makeSoundInterface,
  type SoundInterface,
  type SoundInterfaceOptions,
} from './sound-interface.ts'
export type { SoundSystem } from './sound-system.ts'
export { makeWatchedFolder, type WatchedFolderOptions } from './watched-folder.ts'
export { writeFileAside } from './write-file-aside.ts'
export { writeWaveFile } from './write-wave-file.ts'
