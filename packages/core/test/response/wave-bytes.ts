/** Bytes of a RIFF/WAVE file put together by hand, for cases that `writeWave` never writes. */
export const chunk = (id: string, content: ArrayLike<number>, statedSize = content.length): number[] => [
  ...[...id].map((letter) => letter.charCodeAt(0)),
  ...le32(statedSize),
  ...Array.from(content),
  ...(content.length % 2 === 1 ? [0] : []),
]

export const le32 = (value: number): number[] => [0, 8, 16, 24].map((shift) => (value >>> shift) & 0xff)
const le16 = (value: number): number[] => [value & 0xff, (value >>> 8) & 0xff]

export const formatChunk = (options: { tag?: number; channels?: number; rateHz?: number; bits: number }): number[] => {
  const { tag = 1, channels = 1, rateHz = 48_000, bits } = options
  const frame = (channels * bits) / 8
  return chunk('fmt ', [
    ...le16(tag),
    ...le16(channels),
    ...le32(rateHz),
    ...le32(rateHz * frame),
    ...le16(frame),
    ...le16(bits),
  ])
}

export const riff = (chunks: number[][], statedSize?: number): Uint8Array => {
  const body = chunks.flat()
  return Uint8Array.from([
    ...chunk('RIFF', [], statedSize ?? body.length + 4),
    ...[...'WAVE'].map((l) => l.charCodeAt(0)),
    ...body,
  ])
}
