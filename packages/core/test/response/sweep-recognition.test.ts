import { describe, expect, test } from 'vitest'
import { sampleFormats } from '../../src/model/sweep.ts'
import { measureRecording } from '../../src/response/curve/measure-recording.ts'
import { makeSweep } from '../../src/response/sweep/sweep.ts'
import { sweepMetadata } from '../../src/response/sweep/sweep-metadata.ts'
import { recogniseSweep } from '../../src/response/sweep/sweep-recognition.ts'
import { readWave } from '../../src/response/wave/read-wave.ts'
import { writeWave } from '../../src/response/wave/write-wave.ts'
import { asAudio, defaultSweep } from './default-sweep.ts'

const settings = { ...defaultSweep, repeats: 2 }
const made = makeSweep(settings)

describe.each(sampleFormats)('a sweep file in %s', (format) => {
  const write = (samples: Float64Array, metadata?: string) =>
    readWave(writeWave({ rateHz: 48_000, channels: [samples], format, ...(metadata ? { metadata } : {}) }))

  test('is known from its own text', () => {
    const found = recogniseSweep(write(made.samples, sweepMetadata(settings)))
    expect({ ...found, samples: null }).toEqual({ ...made, samples: null })
  })

  test('is known from its samples when another program dropped the text', () => {
    const found = recogniseSweep(write(made.samples))
    expect(Math.abs((found.rateS ?? 0) / (made.rateS ?? 1) - 1)).toBeLessThan(1e-6)
    expect(found.bodies).toHaveLength(2)
    expect(found.bodies[1].startSample - found.bodies[0].startSample).toBe(
      made.bodies[1].startSample - made.bodies[0].startSample,
    )
    expect(found.markers).toHaveLength(2)
    expect(found.settings.fromHz).toBeLessThanOrEqual(20)
    expect(found.settings.toHz).toBeGreaterThanOrEqual(20_000)
    expect(found.settings.levelDbfs).toBeCloseTo(-6, 2)
  })

  test('is not believed when text and samples disagree', () => {
    const other = makeSweep({ ...settings, durationS: 3 })
    const found = recogniseSweep(write(other.samples, sweepMetadata(settings)))
    expect(Math.abs((found.rateS ?? 0) / (other.rateS ?? 1) - 1)).toBeLessThan(1e-6)
  })
})

describe('sounds made elsewhere', () => {
  const seconds = 5
  const place = (make: (t: number) => number) => {
    const samples = new Float64Array(48_000 * (seconds + 1))
    for (let i = 0; i < 48_000 * seconds; i++) samples[i + 4800] = 0.5 * make(i / 48_000)
    return samples
  }
  const rateS = seconds / Math.log(1000)
  const cubed = (samples: Float64Array) => samples.map((x) => 2 * (x + 0.2 * x ** 3))

  test('an exponential sweep with the "-1" and hard ends (Farina 2000): distortion too', () => {
    const samples = place((t) => Math.sin(2 * Math.PI * 20 * rateS * (Math.exp(t / rateS) - 1)))
    const sweep = recogniseSweep(asAudio(48_000, samples))
    expect(Math.abs((sweep.rateS ?? 0) / rateS - 1)).toBeLessThan(1e-6)
    const { curve, distortion } = measureRecording({ sweep, recording: asAudio(48_000, cubed(samples)) })
    // x + 0.2 x^3 at A = 0.5: H1 = A + 0.15 A^3, H3 = 0.05 A^3 (trigonometric identities).
    const fundamental = 1 + 0.15 * 0.25
    const at = distortion?.frequencyHz.findIndex((f) => f > 999) ?? -1
    expect(distortion?.orders['3'][at]).toBeCloseTo(20 * Math.log10((0.05 * 0.25) / fundamental), 1)
    expect(curve?.gainDb[136]).toBeCloseTo(20 * Math.log10(2 * fundamental), 2)
  })

  test('a linear sweep gives the linear response and no distortion', () => {
    const samples = place((t) => Math.sin(2 * Math.PI * (20 * t + (19_980 / (2 * seconds)) * t * t)))
    const sweep = recogniseSweep(asAudio(48_000, samples))
    expect(sweep.rateS).toBeNull()
    const { curve, distortion } = measureRecording({
      sweep,
      recording: asAudio(
        48_000,
        samples.map((v) => v / 2),
      ),
    })
    expect(distortion).toBeNull()
    for (const gain of curve?.gainDb ?? [0]) expect(Math.abs(gain + 6.0206)).toBeLessThan(0.01)
  })

  test.each([
    ['no samples', asAudio(48_000, new Float64Array(0)), /holds no samples/],
    ['silence', asAudio(48_000, new Float64Array(9000)), /is silent/],
    ['a click', asAudio(48_000, new Float64Array(9000).fill(0.5, 4000, 4010)), /no sound longer/],
    [
      'a tone',
      asAudio(
        48_000,
        place((t) => Math.sin(2 * Math.PI * 997 * t)),
      ),
      /a tone, not a sweep/,
    ],
  ])('%s is refused', (_name, audio, message) => {
    expect(() => recogniseSweep(audio)).toThrow(message)
  })
})
