import { decodeSamples } from '../response/wave/decode-samples.ts'
import type { RawFormat } from './sound-system.ts'

/** Both raw formats have four bytes a sample. */
export const bytesPerSample = 4

/**
 * Interleaves one channel of samples (full scale = 1) among silent ones, as raw bytes. Samples beyond full scale are held
 * there: they would come out with their sign turned.
 */
export function encodeRaw(options: {
  samples: Float64Array
  channels: number
  channel: number
  format: RawFormat
  silenceBefore: number
  silenceAfter: number
}): Buffer {
  const { samples, channels, channel, format, silenceBefore, silenceAfter } = options
  const bytesPerFrame = channels * bytesPerSample
  const bytes = Buffer.alloc((silenceBefore + samples.length + silenceAfter) * bytesPerFrame)
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.length)
  let at = silenceBefore * bytesPerFrame + channel * bytesPerSample
  for (let i = 0; i < samples.length; i++, at += bytesPerFrame) {
    const held = Math.min(1, Math.max(-1, samples[i]))
    if (format === 'float32') view.setFloat32(at, held, true)
    else view.setInt32(at, Math.min(2 ** 31 - 1, Math.round(held * 2 ** 31)), true)
  }
  return bytes
}

/** Takes raw bytes apart into one array a channel; an incomplete last frame is left out. */
export function decodeRaw(options: { bytes: Buffer; channels: number; format: RawFormat }): Float64Array[] {
  const { bytes, channels, format } = options
  return decodeSamples({
    view: new DataView(bytes.buffer, bytes.byteOffset, bytes.length),
    startByte: 0,
    endByte: bytes.length,
    channelCount: channels,
    sampleFormat: format,
    bytesPerSample,
  })
}
