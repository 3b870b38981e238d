import { BoardwrightError } from '../../model/error.ts'
import type { SampleFormat } from '../../model/sweep.ts'
import { encodeUtf8 } from './utf8.ts'
import { metadataChunkId, subFormatTail, waveTag } from './wave-format.ts'

/** What `writeWave` takes. */
export interface WaveToWrite {
  rateHz: number
  /** One array per channel, equal lengths, full scale = 1. */
  channels: readonly Float64Array[]
  format: SampleFormat
  /** Text kept with the sound in a chunk behind the samples. */
  metadata?: string
}

const bytesOf: Record<SampleFormat, number> = { pcm16: 2, pcm24: 3, pcm32: 4, float32: 4 }

/** Nearest integer, halves to even (no offset in the mean), held inside the range of `bits`. */
const toInteger = (value: number, bits: number): number => {
  const full = 2 ** (bits - 1)
  const scaled = value * full
  const floor = Math.floor(scaled)
  const rest = scaled - floor
  const nearest = rest > 0.5 || (rest === 0.5 && floor % 2 !== 0) ? floor + 1 : floor
  return Math.min(full - 1, Math.max(-full, nearest))
}

const writers: Record<SampleFormat, (view: DataView, at: number, value: number) => void> = {
  pcm16: (view, at, value) => view.setInt16(at, toInteger(value, 16), true),
  pcm24: (view, at, value) => {
    const integer = toInteger(value, 24)
    view.setUint16(at, integer & 0xffff, true)
    view.setInt8(at + 2, integer >> 16)
  },
  pcm32: (view, at, value) => view.setInt32(at, toInteger(value, 32), true),
  float32: (view, at, value) => view.setFloat32(at, value, true),
}

/** Speaker positions: mono is front centre, stereo front left and right, anything else is left open. */
const channelMask = (count: number): number => (count === 1 ? 0x4 : count === 2 ? 0x3 : 0)

const putText = (view: DataView, at: number, text: string): void => {
  for (let i = 0; i < text.length; i++) view.setUint8(at + i, text.charCodeAt(i))
}

const putFormat = (view: DataView, at: number, wave: WaveToWrite, extensible: boolean): void => {
  const count = wave.channels.length
  const bytes = bytesOf[wave.format]
  const tag = wave.format === 'float32' ? waveTag.float : waveTag.pcm
  view.setUint16(at, extensible ? waveTag.extensible : tag, true)
  view.setUint16(at + 2, count, true)
  view.setUint32(at + 4, wave.rateHz, true)
  view.setUint32(at + 8, wave.rateHz * count * bytes, true)
  view.setUint16(at + 12, count * bytes, true)
  view.setUint16(at + 14, bytes * 8, true)
  if (!extensible) return
  view.setUint16(at + 16, 22, true)
  view.setUint16(at + 18, bytes * 8, true)
  view.setUint32(at + 20, channelMask(count), true)
  view.setUint16(at + 24, tag, true)
  subFormatTail.forEach((byte, i) => {
    view.setUint8(at + 26 + i, byte)
  })
}

/** The layout asks for the extensible form above 16 bits of PCM and above two channels; float with a fact chunk. */
const planChunks = (wave: WaveToWrite, frames: number) => {
  const extensible = wave.channels.length > 2 || wave.format === 'pcm24' || wave.format === 'pcm32'
  const formatBytes = extensible ? 40 : wave.format === 'float32' ? 18 : 16
  const factBytes = wave.format === 'float32' ? 12 : 0
  const dataBytes = frames * wave.channels.length * bytesOf[wave.format]
  const text = wave.metadata === undefined ? null : encodeUtf8(wave.metadata)
  const dataAt = 12 + 8 + formatBytes + factBytes
  const textAt = dataAt + 8 + dataBytes + (dataBytes % 2)
  const totalBytes = text ? textAt + 8 + text.length + (text.length % 2) : textAt
  return { extensible, formatBytes, factBytes, dataBytes, text, dataAt, textAt, totalBytes }
}

const putSamples = (view: DataView, at: number, wave: WaveToWrite): void => {
  const bytes = bytesOf[wave.format]
  const write = writers[wave.format]
  wave.channels.forEach((samples, channel) => {
    const step = wave.channels.length * bytes
    for (let i = 0, p = at + channel * bytes; i < samples.length; i++, p += step) write(view, p, samples[i] as number)
  })
}

/**
 * Writes a WAV file. Samples beyond full scale are held at the end of the range; no dither.
 *
 * @returns the whole file
 * @throws BoardwrightError `bad-argument` for no channel, unequal lengths, or more than a WAV file can hold
 * Source: RIFF/WAVE as in EBU Tech 3285 and RFC 2361 (CHECKS 11-O05).
 */
export const writeWave = (wave: WaveToWrite): Uint8Array => {
  const frames = wave.channels[0]?.length ?? 0
  if (wave.channels.length === 0 || wave.channels.some((samples) => samples.length !== frames)) {
    throw new BoardwrightError('bad-argument', 'A WAV file needs at least one channel, and channels of one length.')
  }
  const plan = planChunks(wave, frames)
  if (plan.totalBytes > 0xffffffff) {
    throw new BoardwrightError('bad-argument', `${frames} frames are more than a WAV file can hold.`)
  }
  const file = new Uint8Array(plan.totalBytes)
  const view = new DataView(file.buffer)
  putText(view, 0, 'RIFF')
  view.setUint32(4, plan.totalBytes - 8, true)
  putText(view, 8, 'WAVEfmt ')
  view.setUint32(16, plan.formatBytes, true)
  putFormat(view, 20, wave, plan.extensible)
  if (plan.factBytes > 0) {
    const factAt = 20 + plan.formatBytes
    putText(view, factAt, 'fact')
    view.setUint32(factAt + 4, 4, true)
    view.setUint32(factAt + 8, frames, true)
  }
  putText(view, plan.dataAt, 'data')
  view.setUint32(plan.dataAt + 4, plan.dataBytes, true)
  putSamples(view, plan.dataAt + 8, wave)
  if (plan.text) {
    putText(view, plan.textAt, metadataChunkId)
    view.setUint32(plan.textAt + 4, plan.text.length, true)
    file.set(plan.text, plan.textAt + 8)
  }
  return file
}
