import { BoardwrightError } from '../model/error.ts'

// A blob of numbers: an 8-byte head (kind, three zero bytes, count as unsigned 32-bit little-endian), then the numbers as
// 64-bit floats, little-endian. The head lets another program read the blob without our schema, leaves room for other
// kinds, and shows a blob that was cut off.

const headBytes = 8
const kindFloat64 = 2
const bytesPerNumber = 8
const littleEndianHost = new Uint8Array(new Uint16Array([1]).buffer)[0] === 1

/** Numbers as a blob of 64-bit floats: what is read back is bit for bit what was written, NaN included. */
export function encodeNumbers(values: ArrayLike<number>): Buffer {
  const bytes = Buffer.alloc(headBytes + values.length * bytesPerNumber)
  bytes.writeUInt8(kindFloat64, 0)
  bytes.writeUInt32LE(values.length, 4)
  if (littleEndianHost && values instanceof Float64Array)
    bytes.set(new Uint8Array(values.buffer, values.byteOffset, values.byteLength), headBytes)
  else for (let i = 0; i < values.length; i++) bytes.writeDoubleLE(values[i], headBytes + i * bytesPerNumber)
  return bytes
}

/**
 * The numbers of a blob written by `encodeNumbers`.
 * @param place named in the error: table, column, key
 * Errors: file-damaged when head and length do not fit.
 */
export function decodeNumbers(blob: Uint8Array, place: string): Float64Array {
  const view = new DataView(blob.buffer, blob.byteOffset, blob.byteLength)
  const count = blob.byteLength >= headBytes && view.getUint8(0) === kindFloat64 ? view.getUint32(4, true) : -1
  if (count < 0 || headBytes + count * bytesPerNumber !== blob.byteLength)
    throw new BoardwrightError('file-damaged', `The numbers stored at ${place} are cut off or changed.`)
  const numbers = new Float64Array(count)
  if (littleEndianHost) new Uint8Array(numbers.buffer).set(blob.subarray(headBytes))
  else for (let i = 0; i < count; i++) numbers[i] = view.getFloat64(headBytes + i * bytesPerNumber, true)
  return numbers
}
