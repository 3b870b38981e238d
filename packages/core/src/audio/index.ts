// Sound files and rig drivers: Node only.
export { readWaveFile } from './read-wave-file.ts'
export type { RigDriver, RigProgress, RigRequest } from './rig-driver.ts'
export { makeSimulatedRig, type SimulatedRigOptions } from './simulated-rig.ts'
export { makeWatchedFolder, type WatchedFolderOptions } from './watched-folder.ts'
export { writeWaveFile } from './write-wave-file.ts'
