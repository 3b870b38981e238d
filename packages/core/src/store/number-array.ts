import { BoardwrightError } from '../model/error.ts'

// A blob of numbers: an 8-byte head (kind, three zero bytes, count as unsigned 32-bit little-endian), then the numbers,
// little-endian. The head lets another program read the blob without our schema, and shows a blob that was cut off.

const headBytes = 8
const kinds = { float32: 1, float64: 2 } as const
const bytesOf: Readonly<Record<number, number>> = { [kinds.float32]: 4, [kinds.float64]: 8 }
const littleEndianHost = new Uint8Array(new Uint16Array([1]).buffer)[0] === 1

function emptyBlob(kind: 1 | 2, count: number): Buffer {
  const blob = Buffer.alloc(headBytes + count * bytesOf[kind])
  blob.writeUInt8(kind, 0)
  blob.writeUInt32LE(count, 4)
  return blob
}

/** Numbers as a blob of 64-bit floats: what is read back is bit for bit what was written, NaN included. */
export function encodeNumbers(values: ArrayLike<number>): Buffer {
  const blob = emptyBlob(kinds.float64, values.length)
  if (littleEndianHost) blob.set(new Uint8Array(Float64Array.from(values).buffer), headBytes)
  else for (let i = 0; i < values.length; i++) blob.writeDoubleLE(values[i], headBytes + i * 8)
  return blob
}

/** Numbers as a blob of 32-bit floats: half the room. Only numbers that fit come back the same (`Math.fround`). */
export function encodeShortNumbers(values: ArrayLike<number>): Buffer {
  const blob = emptyBlob(kinds.float32, values.length)
  if (littleEndianHost) blob.set(new Uint8Array(Float32Array.from(values).buffer), headBytes)
  else for (let i = 0; i < values.length; i++) blob.writeFloatLE(values[i], headBytes + i * 4)
  return blob
}

/**
 * The numbers of a blob written by one of the encoders.
 * @param place named in the error: table, column, key
 * Errors: file-damaged when head and length do not fit.
 */
export function decodeNumbers(blob: Uint8Array, place: string): Float64Array {
  const view = new DataView(blob.buffer, blob.byteOffset, blob.byteLength)
  const width = blob.byteLength >= headBytes ? bytesOf[view.getUint8(0)] : undefined
  const count = width === undefined ? 0 : view.getUint32(4, true)
  if (width === undefined || headBytes + count * width !== blob.byteLength)
    throw new BoardwrightError('file-damaged', `The numbers stored at ${place} are cut off or changed.`)
  if (!littleEndianHost)
    return Float64Array.from({ length: count }, (_, i) =>
      width === 8 ? view.getFloat64(headBytes + i * 8, true) : view.getFloat32(headBytes + i * 4, true),
    )
  // A copy of its own: a blob may stand at any address, a typed array may not.
  const body = new Uint8Array(blob.subarray(headBytes)).buffer
  return width === 8 ? new Float64Array(body) : Float64Array.from(new Float32Array(body))
}
