import { notAWave, type WaveSampleFormat } from './wave-format.ts'

interface EncodedSamples {
  view: DataView
  startByte: number
  endByte: number
  channelCount: number
  sampleFormat: WaveSampleFormat
  bytesPerSample: number
}

/** Reads one sample at a byte, full scale = 1. 8 bits are unsigned around 128; integers divide by 2^(bits - 1). */
const readers: Record<WaveSampleFormat, (view: DataView, at: number) => number> = {
  pcm8: (view, at) => (view.getUint8(at) - 128) / 0x80,
  pcm16: (view, at) => view.getInt16(at, true) / 0x8000,
  pcm24: (view, at) => (view.getUint16(at, true) + view.getInt8(at + 2) * 0x10000) / 0x800000,
  pcm32: (view, at) => view.getInt32(at, true) / 0x80000000,
  float32: (view, at) => view.getFloat32(at, true),
  float64: (view, at) => view.getFloat64(at, true),
}

/**
 * Takes interleaved samples apart into one array per channel (full scale = 1). An incomplete last frame is left out.
 *
 * @throws BoardwrightError `not-a-wave-file` when a floating-point sample is not a number
 */
export const decodeSamples = (encoded: EncodedSamples): Float64Array[] => {
  const { view, startByte, endByte, channelCount, bytesPerSample } = encoded
  const read = readers[encoded.sampleFormat]
  const bytesPerFrame = channelCount * bytesPerSample
  const frames = Math.max(0, Math.floor((endByte - startByte) / bytesPerFrame))
  return Array.from({ length: channelCount }, (_, channel) => {
    const samples = new Float64Array(frames)
    let at = startByte + channel * bytesPerSample
    let sum = 0
    for (let i = 0; i < frames; i++, at += bytesPerFrame) {
      const value = read(view, at)
      samples[i] = value
      sum += value * 0
    }
    // 0 times a sample is 0 unless the sample is infinite or no number: one test instead of one per sample.
    if (sum !== 0) throw notAWave(`channel ${channel + 1} holds samples that are not numbers`)
    return samples
  })
}
