import { notAWave } from './wave-format.ts'

/** Where one RIFF chunk's content stands in the file. */
export interface WaveChunk {
  id: string
  startByte: number
  endByte: number
  truncated: boolean
}

const streaming = 0xffffffff
/** Programs that write to a pipe put sizes from here up, as they cannot go back to fill in the true one. */
const streamingFrom = 0x7fff0000

const idAt = (view: DataView, at: number): string =>
  String.fromCharCode(view.getUint8(at), view.getUint8(at + 1), view.getUint8(at + 2), view.getUint8(at + 3))

/** Data size in the ds64 chunk of an RF64 file, or null. Source: EBU Tech 3306 (from memory). */
const ds64DataSize = (view: DataView, chunk: WaveChunk): number | null => {
  if (chunk.id !== 'ds64' || chunk.endByte - chunk.startByte < 16) return null
  return view.getUint32(chunk.startByte + 8, true) + view.getUint32(chunk.startByte + 12, true) * 2 ** 32
}

const isOpenEnded = (id: string, size: number, fileSize: number): boolean =>
  id === 'data' && (size >= streamingFrom || (size === 0 && (fileSize === 0 || fileSize === streaming)))

/**
 * Lists the chunks of a RIFF/WAVE file in order. Sizes of 0 or all ones, left by programs that write to a pipe, mean "to
 * the end of the file"; a chunk that reaches beyond the file ends with it and says so.
 *
 * @throws BoardwrightError `not-a-wave-file`
 */
export const listWaveChunks = (view: DataView): WaveChunk[] => {
  const length = view.byteLength
  if (length < 12) throw notAWave(`it is only ${length} bytes long`)
  const riff = idAt(view, 0)
  if (riff === 'RIFX') throw notAWave('its numbers are big-endian (RIFX)')
  if ((riff !== 'RIFF' && riff !== 'RF64') || idAt(view, 8) !== 'WAVE') {
    throw notAWave('it does not begin with a RIFF/WAVE header')
  }
  const fileSize = view.getUint32(4, true)
  const chunks: WaveChunk[] = []
  let longDataSize: number | null = null
  for (let at = 12; at + 8 <= length; ) {
    const id = idAt(view, at)
    const startByte = at + 8
    const stated = view.getUint32(at + 4, true)
    const size = id === 'data' && stated === streaming && longDataSize !== null ? longDataSize : stated
    const openEnded = isOpenEnded(id, size, fileSize)
    const endByte = openEnded ? length : Math.min(length, startByte + size)
    const chunk = { id, startByte, endByte, truncated: !openEnded && startByte + size > length }
    chunks.push(chunk)
    longDataSize ??= ds64DataSize(view, chunk)
    at = endByte + (size % 2)
  }
  return chunks
}
