import { BoardwrightError } from '../../model/error.ts'

/** How the samples of a WAV file are stored. */
export type WaveSampleFormat = 'pcm8' | 'pcm16' | 'pcm24' | 'pcm32' | 'float32' | 'float64'

/** The sound of one WAV file. */
export interface WaveAudio {
  rateHz: number
  /** One array per channel, all of one length; full scale is 1. */
  channels: Float64Array[]
  sampleFormat: WaveSampleFormat
  /** Bits of one stored sample. */
  bits: number
  /** True when the file ends before its data chunk does. */
  truncated: boolean
  /** Text of Boardwright's own chunk, as written by `writeWave`. */
  metadata?: string
}

/** Identifier of Boardwright's own chunk (UTF-8 text); it stands behind the samples, so every player skips it. */
export const metadataChunkId = 'bwrd'

/** Format tags. Source: RFC 2361 and the multimedia wave format (CHECKS 11-O05). */
export const waveTag = { pcm: 1, float: 3, extensible: 0xfffe } as const

/** Bytes 2 to 15 of the sub-format identifier 0000xxxx-0000-0010-8000-00AA00389B71 (CHECKS 11-O05). */
export const subFormatTail: readonly number[] = [0, 0, 0, 0, 0x10, 0, 0x80, 0, 0, 0xaa, 0, 0x38, 0x9b, 0x71]

/** The error for bytes that cannot be read as a WAV file. */
export const notAWave = (reason: string): BoardwrightError =>
  new BoardwrightError('not-a-wave-file', `This is not a WAV file that can be measured: ${reason}.`)
