import { recogniseSweep, type SweepSignal } from '@boardwright/core'
import { readWaveFile } from '@boardwright/core/audio'

/**
 * Reads the file that was played as the stimulus: one of ours, or any other program's sweep.
 * Errors: file-not-readable, not-a-wave-file, too-large, and those of `recogniseSweep`.
 */
export const readSweepFile = (path: string): SweepSignal => recogniseSweep(readWaveFile(path))
