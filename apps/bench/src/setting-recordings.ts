import { readWaveFile } from '@boardwright/core/audio'
import type { SettingRecording } from '@boardwright/core/workshop'
import type { SettingFile } from './parse-option.ts'

/** Reads the recordings of `--setting NAME=FILE`. Errors: file-not-readable, not-a-wave-file, too-large. */
export const readSettingFiles = (files: readonly SettingFile[]): SettingRecording[] =>
  files.map(({ setting, path }) => ({ setting, audio: readWaveFile(path), origin: path }))

export type Side = 'left' | 'right'

/** Channel number, from 0, of a side of a stereo file. */
export const channelOf = (side: Side | undefined): number | undefined =>
  side === undefined ? undefined : side === 'left' ? 0 : 1
