import { crc32 } from 'node:zlib'
import { BoardwrightError } from '../model/error.ts'

// A blob of numbers: an 8-byte head (kind, three zero bytes, count as unsigned 32-bit little-endian), the numbers,
// little-endian, and the CRC-32 of all before it (unsigned 32-bit little-endian). The head lets another program read the
// blob without our schema, and shows one that was cut off; the sum shows one of which a single bit has changed. Kinds 1 and 2
// are of files from before there was a sum, and end with the numbers.

const headBytes = 8
const sumBytes = 4
const kinds = { float32: 3, float64: 4 } as const
const layouts: Readonly<Record<number, { width: 4 | 8; hasSum: boolean }>> = {
  1: { width: 4, hasSum: false },
  2: { width: 8, hasSum: false },
  [kinds.float32]: { width: 4, hasSum: true },
  [kinds.float64]: { width: 8, hasSum: true },
}
const littleEndianHost = new Uint8Array(new Uint16Array([1]).buffer)[0] === 1

function emptyBlob(kind: 3 | 4, count: number): Buffer {
  const blob = Buffer.alloc(headBytes + count * layouts[kind].width + sumBytes)
  blob.writeUInt8(kind, 0)
  blob.writeUInt32LE(count, 4)
  return blob
}

function sealed(blob: Buffer): Buffer {
  blob.writeUInt32LE(crc32(blob.subarray(0, -sumBytes)), blob.length - sumBytes)
  return blob
}

/** Numbers as a blob of 64-bit floats: what is read back is bit for bit what was written, NaN included. */
export function encodeNumbers(values: ArrayLike<number>): Buffer {
  const blob = emptyBlob(kinds.float64, values.length)
  if (littleEndianHost) blob.set(new Uint8Array(Float64Array.from(values).buffer), headBytes)
  else for (let i = 0; i < values.length; i++) blob.writeDoubleLE(values[i], headBytes + i * 8)
  return sealed(blob)
}

/** Numbers as a blob of 32-bit floats: half the room. Only numbers that fit come back the same (`Math.fround`). */
export function encodeShortNumbers(values: ArrayLike<number>): Buffer {
  const blob = emptyBlob(kinds.float32, values.length)
  if (littleEndianHost) blob.set(new Uint8Array(Float32Array.from(values).buffer), headBytes)
  else for (let i = 0; i < values.length; i++) blob.writeFloatLE(values[i], headBytes + i * 4)
  return sealed(blob)
}

/**
 * The numbers of a blob written by one of the encoders.
 * @param place named in the error: table, column, key
 * Errors: file-damaged when head and length do not fit, or a byte was changed since they were written.
 */
export function decodeNumbers(blob: Uint8Array, place: string): Float64Array {
  const view = new DataView(blob.buffer, blob.byteOffset, blob.byteLength)
  const layout = blob.byteLength >= headBytes ? layouts[view.getUint8(0)] : undefined
  const count = layout === undefined ? 0 : view.getUint32(4, true)
  const end = headBytes + count * (layout?.width ?? 0)
  const isWhole = layout !== undefined && blob.byteLength === end + (layout.hasSum ? sumBytes : 0)
  if (!isWhole || (layout.hasSum && view.getUint32(end, true) !== crc32(blob.subarray(0, end))))
    throw new BoardwrightError('file-damaged', `The numbers stored at ${place} are cut off or changed.`)
  const { width } = layout
  if (!littleEndianHost)
    return Float64Array.from({ length: count }, (_, i) =>
      width === 8 ? view.getFloat64(headBytes + i * 8, true) : view.getFloat32(headBytes + i * 4, true),
    )
  // A copy of its own: a blob may stand at any address, a typed array may not.
  const body = new Uint8Array(blob.subarray(headBytes, end)).buffer
  return width === 8 ? new Float64Array(body) : Float64Array.from(new Float32Array(body))
}
