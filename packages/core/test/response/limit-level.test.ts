import { expect, test } from 'vitest'
import { decodeRaw, encodeRaw } from '../../src/audio/raw-samples.ts'
import { fadeEnds, limitLevel } from '../../src/response/level/limit-level.ts'
import { makeSweep } from '../../src/response/sweep/sweep.ts'
import { product } from '../workshop/rig-recordings.ts'

const tone = (length: number, peak: number) => Float64Array.from({ length }, (_, i) => peak * Math.cos(i / 7))

test('a sweep at the limit is played, one a tenth of a decibel above is not', () => {
  const { samples } = makeSweep({ ...product.testPlan.stimulus, levelDbfs: -20 })
  expect(() => limitLevel({ samples, maxLevelDbfs: -20 })).not.toThrow()
  expect(() => limitLevel({ samples, maxLevelDbfs: -20.1 })).toThrow('reaches -20.0 dBFS')
  // One single sample is enough.
  const spike = new Float64Array(1000)
  spike[500] = -1
  expect(() => limitLevel({ samples: spike, maxLevelDbfs: -1 })).toThrow('reaches 0.0 dBFS')
  expect(() => limitLevel({ samples: new Float64Array(10), maxLevelDbfs: -80 })).not.toThrow()
})

test.each([Number.NaN, Number.POSITIVE_INFINITY])('a sample that is %s is never played', (value) => {
  expect(() => limitLevel({ samples: Float64Array.of(0, value), maxLevelDbfs: 0 })).toThrow('not numbers')
})

test('a sound that begins and ends abruptly is faded, its middle is left alone', () => {
  const abrupt = tone(4801, 0.5)
  const faded = fadeEnds(abrupt, 48_000)
  expect(faded[0]).toBe(0)
  expect(faded[4800]).toBe(0)
  // 5 ms of 48 kHz.
  expect(faded.subarray(240, 4561)).toEqual(abrupt.subarray(240, 4561))
  const steps = faded.map((x, i) => (i === 0 ? 0 : Math.abs(x - faded[i - 1])))
  // The tone itself moves by 0.5 / 7 a sample at most.
  expect(Math.max(...steps)).toBeLessThan(0.5 / 7 + 0.5 * (Math.PI / 2 / 240))
})

test('a sweep fades by itself and is played as it is', () => {
  const { samples, rateHz } = makeSweep(product.testPlan.stimulus)
  expect(fadeEnds(samples, rateHz)).toBe(samples)
})

test.each(['float32', 'pcm32'] as const)(
  '%s samples come back on the channel they were put, and no louder than 1',
  (format) => {
    const samples = Float64Array.of(0.25, -0.5, 1, -1, 1.5, -3)
    const bytes = encodeRaw({ samples, channels: 3, channel: 2, format, silenceBefore: 2, silenceAfter: 1 })
    const [first, second, third] = decodeRaw({ bytes, channels: 3, format })
    expect(first).toEqual(new Float64Array(9))
    expect(second).toEqual(new Float64Array(9))
    const top = format === 'pcm32' ? 1 - 2 ** -31 : 1
    expect([...third]).toEqual([0, 0, 0.25, -0.5, top, -1, top, -1, 0])
    // A frame that was cut in the middle is left out.
    expect(decodeRaw({ bytes: bytes.subarray(0, bytes.length - 5), channels: 3, format })[2]).toHaveLength(8)
  },
)
