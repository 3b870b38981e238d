import { decodeSamples } from './decode-samples.ts'
import { decodeUtf8 } from './utf8.ts'
import { listWaveChunks, type WaveChunk } from './wave-chunks.ts'
import { metadataChunkId, notAWave, type WaveAudio, type WaveSampleFormat, waveTag } from './wave-format.ts'

interface WaveLayout {
  rateHz: number
  channelCount: number
  sampleFormat: WaveSampleFormat
  bytesPerSample: number
}

/** More channels than any interface has: beyond this the header is not believed. */
const channelLimit = 256

const sampleFormats: Record<string, WaveSampleFormat> = {
  'pcm 1': 'pcm8',
  'pcm 2': 'pcm16',
  'pcm 3': 'pcm24',
  'pcm 4': 'pcm32',
  'float 4': 'float32',
  'float 8': 'float64',
}

const codingOf = (view: DataView, chunk: WaveChunk): 'pcm' | 'float' => {
  let tag = view.getUint16(chunk.startByte, true)
  if (tag === waveTag.extensible) {
    if (chunk.endByte - chunk.startByte < 26) throw notAWave('its extensible format chunk is too short')
    tag = view.getUint16(chunk.startByte + 24, true)
  }
  if (tag === waveTag.pcm) return 'pcm'
  if (tag === waveTag.float) return 'float'
  throw notAWave(`its samples are compressed (format tag ${tag})`)
}

const readLayout = (view: DataView, chunk: WaveChunk): WaveLayout => {
  if (chunk.endByte - chunk.startByte < 16) throw notAWave('its format chunk is too short')
  const coding = codingOf(view, chunk)
  const channelCount = view.getUint16(chunk.startByte + 2, true)
  const rateHz = view.getUint32(chunk.startByte + 4, true)
  const bytesPerFrame = view.getUint16(chunk.startByte + 12, true)
  const bits = view.getUint16(chunk.startByte + 14, true)
  if (channelCount === 0 || channelCount > channelLimit) throw notAWave(`it states ${channelCount} channels`)
  if (rateHz === 0) throw notAWave('it states a sample rate of 0 Hz')
  const bytesPerSample = bytesPerFrame / channelCount
  const sampleFormat = sampleFormats[`${coding} ${bytesPerSample}`]
  if (!sampleFormat || bits === 0 || bits > bytesPerSample * 8) {
    throw notAWave(`its samples are ${bits} bits in frames of ${bytesPerFrame} bytes`)
  }
  return { rateHz, channelCount, sampleFormat, bytesPerSample }
}

/** Far more than Boardwright writes; a longer chunk of that name is not ours. */
const metadataLimitBytes = 65_536

const readMetadata = (bytes: Uint8Array, chunks: readonly WaveChunk[]): string | null => {
  const text = chunks.find((chunk) => chunk.id === metadataChunkId)
  if (!text || text.endByte - text.startByte > metadataLimitBytes) return null
  return decodeUtf8(bytes.subarray(text.startByte, text.endByte))
}

/**
 * Reads a WAV file: PCM 8, 16, 24, 32 bits, float 32 and 64, plain or extensible, any number of channels. Unknown chunks
 * are skipped; a file cut off inside its samples gives what is there, with `truncated` set.
 *
 * @param bytes the whole file
 * @returns rate (Hz) and samples, full scale = 1
 * @throws BoardwrightError `not-a-wave-file`, with the reason
 * Source: RIFF/WAVE as in EBU Tech 3285 and RFC 2361 (CHECKS 11-O05, 11-O06).
 */
export const readWave = (bytes: Uint8Array): WaveAudio => {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength)
  const chunks = listWaveChunks(view)
  const format = chunks.find((chunk) => chunk.id === 'fmt ')
  const data = chunks.find((chunk) => chunk.id === 'data')
  if (!format) throw notAWave('it has no format chunk')
  if (!data) throw notAWave('it has no data chunk')
  const { rateHz, channelCount, sampleFormat, bytesPerSample } = readLayout(view, format)
  const channels = decodeSamples({
    view,
    startByte: data.startByte,
    endByte: data.endByte,
    channelCount,
    sampleFormat,
    bytesPerSample,
  })
  const metadata = readMetadata(bytes, chunks)
  const audio: WaveAudio = { rateHz, channels, sampleFormat, bits: bytesPerSample * 8, truncated: data.truncated }
  return metadata === null ? audio : { ...audio, metadata }
}
