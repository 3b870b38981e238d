import { readFileSync } from 'node:fs'
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { isBoardwrightError } from '../../src/model/error.ts'
import { sampleFormats } from '../../src/model/sweep.ts'
import { readWave } from '../../src/response/wave/read-wave.ts'
import { writeWave } from '../../src/response/wave/write-wave.ts'
import { chunk, formatChunk, le32, riff } from './wave-bytes.ts'

// Files made outside: shared checks 11-O05 (Python's wave module wrote the first, scipy.io.wavfile decodes all three).
const outside = JSON.parse(readFileSync(new URL('./fixtures/wave_files.json', import.meta.url), 'utf8'))
const bytesOf = (hex: string) => Uint8Array.from(hex.match(/../g) ?? [], (pair) => Number.parseInt(pair, 16))

describe('files made outside', () => {
  test('PCM 16', () => {
    const { hex, samples_float } = outside.pcm16
    const audio = readWave(bytesOf(hex))
    expect(audio).toMatchObject({ rateHz: 48_000, sampleFormat: 'pcm16', bits: 16, truncated: false })
    expect([...audio.channels[0]]).toEqual(samples_float)
    expect(writeWave({ rateHz: 48_000, channels: audio.channels, format: 'pcm16' })).toEqual(bytesOf(hex))
  })

  test('extensible PCM 24, stereo', () => {
    const { hex, frames_int } = outside.extensible24
    const audio = readWave(bytesOf(hex))
    expect(audio.channels.map((c) => [...c].map((v) => v * 2 ** 23))).toEqual([
      frames_int.map((frame: number[]) => frame[0]),
      frames_int.map((frame: number[]) => frame[1]),
    ])
    expect(writeWave({ rateHz: 48_000, channels: audio.channels, format: 'pcm24' })).toEqual(bytesOf(hex))
  })

  test('IEEE float 32', () => {
    const { hex, samples } = outside.float32
    const audio = readWave(bytesOf(hex))
    expect([...audio.channels[0]]).toEqual(samples)
    expect(writeWave({ rateHz: 44_100, channels: audio.channels, format: 'float32' })).toEqual(bytesOf(hex))
  })

  test('24 bits in three channels with an odd data chunk (11-O06: values and pad byte as in scipy test data)', () => {
    const frames = [-2147483648, -2147483392, -512, -1073741824, -1073741568, -256, 0, 0, 0]
    frames.push(1073741824, 1073741568, 256, 2147483392, 2147483392, 512)
    const data = frames.flatMap((value) => le32(value).slice(1))
    expect(data).toHaveLength(45)
    const audio = readWave(
      riff([formatChunk({ channels: 3, rateHz: 8000, bits: 24 }), chunk('data', data), chunk('note', [1, 2])]),
    )
    expect(audio.channels.map((c) => [...c].map((v) => v * 2 ** 31))).toEqual(
      [0, 1, 2].map((channel) => frames.filter((_, i) => i % 3 === channel)),
    )
  })
})

describe('what other programs write', () => {
  const data = [0, 0, 0, 0x40, 0, 0xc0]
  test('8 bits are unsigned around 128 (11-O05)', () => {
    expect([...readWave(riff([formatChunk({ bits: 8 }), chunk('data', [128, 0, 255])])).channels[0]]).toEqual([
      0,
      -1,
      127 / 128,
    ])
  })
  test.each([0, 0xffffffff])('a pipe left %d as its sizes', (size) => {
    const audio = readWave(riff([formatChunk({ bits: 16 }), chunk('data', data, size)], size))
    expect([...audio.channels[0]]).toEqual([0, 0.5, -0.5])
    expect(audio.truncated).toBe(false)
  })
  test('unknown chunks before and behind, of odd length', () => {
    const audio = readWave(
      riff([
        chunk('LIST', [1, 2, 3]),
        formatChunk({ bits: 16 }),
        chunk('fact', [3, 0, 0, 0]),
        chunk('data', data),
        chunk('id3 ', [9]),
      ]),
    )
    expect([...audio.channels[0]]).toEqual([0, 0.5, -0.5])
  })
  test('cut off inside the samples', () => {
    const whole = riff([formatChunk({ bits: 16 }), chunk('data', data)])
    const audio = readWave(whole.subarray(0, whole.length - 3))
    expect(audio).toMatchObject({ truncated: true })
    expect([...audio.channels[0]]).toEqual([0])
  })
})

describe('what is no WAV file says why', () => {
  const data = chunk('data', [0, 0])
  test.each([
    ['nothing', new Uint8Array(0), /only 0 bytes/],
    ['a picture', Uint8Array.from({ length: 100 }, (_, i) => i), /does not begin with a RIFF/],
    ['no format', riff([data]), /no format chunk/],
    ['no samples', riff([formatChunk({ bits: 16 })]), /no data chunk/],
    ['compressed', riff([formatChunk({ tag: 0x55, bits: 16 }), data]), /compressed \(format tag 85\)/],
    ['no channel', riff([formatChunk({ channels: 0, bits: 16 }), data]), /0 channels/],
    ['no rate', riff([formatChunk({ rateHz: 0, bits: 16 }), data]), /rate of 0 Hz/],
    ['12 bits', riff([formatChunk({ bits: 40 }), data]), /40 bits in frames of 5 bytes/],
    ['not a number', riff([formatChunk({ tag: 3, bits: 32 }), chunk('data', [0, 0, 0xc0, 0x7f])]), /not numbers/],
  ])('%s', (_name, bytes, reason) => {
    expect(() => readWave(bytes)).toThrow(reason)
  })

  test('random bytes, and random damage to a good file, never crash or are taken for sound they do not hold', () => {
    const good = writeWave({ rateHz: 48_000, channels: [new Float64Array(50)], format: 'pcm24', metadata: 'x' })
    const tryRead = (bytes: Uint8Array) => {
      try {
        return readWave(bytes)
      } catch (error) {
        if (!isBoardwrightError(error) || error.code !== 'not-a-wave-file') throw error
        return null
      }
    }
    fc.assert(fc.property(fc.uint8Array({ maxLength: 400 }), (bytes) => tryRead(bytes) === null))
    fc.assert(
      fc.property(fc.array(fc.tuple(fc.nat(good.length - 1), fc.nat(255)), { maxLength: 12 }), (changes) => {
        const bytes = good.slice()
        for (const [at, value] of changes) bytes[at] = value
        const audio = tryRead(bytes)
        const count = audio?.channels.reduce((sum, channel) => sum + channel.length, 0) ?? 0
        return count <= bytes.length
      }),
      { numRuns: 2000 },
    )
  })
})

describe('writing', () => {
  test('what is read is written back bit for bit, in every format and number of channels', () => {
    fc.assert(
      fc.property(
        fc.constantFrom(...sampleFormats),
        fc.integer({ min: 1, max: 4 }),
        fc.array(fc.double({ min: -1.2, max: 1.2, noNaN: true }), { minLength: 1, maxLength: 30 }),
        fc.option(fc.string({ unit: 'binary' }), { nil: undefined }),
        (format, count, values, metadata) => {
          const channels = Array.from({ length: count }, (_, c) => Float64Array.from(values, (v) => v / (c + 1)))
          const bytes = writeWave({ rateHz: 96_000, channels, format, ...(metadata === undefined ? {} : { metadata }) })
          const audio = readWave(bytes)
          const half = format === 'float32' ? 2 ** -24 : 2 ** -(format === 'pcm16' ? 16 : format === 'pcm24' ? 24 : 32)
          channels.forEach((channel, c) => {
            channel.forEach((value, i) => {
              const top = format === 'float32' ? 2 : 1 - 2 * half
              expect(Math.abs(audio.channels[c][i] - Math.min(top, Math.max(-1.2, value)))).toBeLessThanOrEqual(
                Math.abs(value) > top || value < -1 ? 0.2 : half * 1.0001,
              )
            })
          })
          const again = writeWave({
            rateHz: 96_000,
            channels: audio.channels,
            format,
            ...(metadata === undefined ? {} : { metadata }),
          })
          expect(again).toEqual(bytes)
          if (metadata !== undefined) expect(audio.metadata).toBe(metadata)
        },
      ),
    )
  })

  test('halves go to the even side, so that rounding adds no DC', () => {
    const steps = Float64Array.of(0.5, 1.5, 2.5, -0.5, -1.5).map((v) => v / 2 ** 15)
    const audio = readWave(writeWave({ rateHz: 48_000, channels: [steps], format: 'pcm16' }))
    expect([...audio.channels[0]].map((v) => Math.round(v * 2 ** 15) + 0)).toEqual([0, 2, 2, 0, -2])
  })

  test('channels must be of one length', () => {
    const channels = [new Float64Array(2), new Float64Array(3)]
    expect(() => writeWave({ rateHz: 48_000, channels, format: 'pcm16' })).toThrow(/channels of one length/)
  })
})
