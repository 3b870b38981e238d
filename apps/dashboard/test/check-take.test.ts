import { makeSweep, SweepSettings } from '@boardwright/core'
import { expect, test } from 'vitest'
import { checkTake, prepareCheck } from '../src/measure/check/check-take.ts'

const stimulus = SweepSettings.parse({ durationS: 1, levelDbfs: -20 })
const sweep = makeSweep(stimulus)
const early = 4000

/** The stimulus as it comes back over a wire, in the 16 bits of a browser. */
function recorded(): Float64Array {
  const samples = new Float64Array(early + sweep.samples.length + 20_000)
  samples.set(sweep.samples, early)
  return samples.map((x) => Math.round(x * 32_768) / 32_768)
}
const check = (response: Float64Array, ...others: Float64Array[]) =>
  checkTake({ id: 1, stimulus, wantedUncertaintyDb: 0.1, channels: [response, ...others] })

test('a wire in 16 bits is good, flat, and as loud as it was played', () => {
  prepareCheck({ id: 0, stimulus, wantedUncertaintyDb: 0.1, channels: [] })
  const { usable, findings, gainAt1kHzDb, peakDbfs } = check(recorded())
  expect({ usable, findings }).toEqual({ usable: true, findings: [] })
  expect(gainAt1kHzDb).toBeCloseTo(0, 3)
  // One step of 16 bits at a peak of 0.1 is 0.003 dB.
  expect(peakDbfs).toBeCloseTo(-20, 1)
})

test('a turned polarity is left to the judge, who knows the reference', () => {
  expect(check(recorded().map((x) => -x))).toMatchObject({ usable: true, findings: [] })
})

test('a lost block and a silent board are told', () => {
  const whole = recorded()
  const lost = new Float64Array(whole.length)
  lost.set(whole.subarray(0, 60_000))
  lost.set(whole.subarray(60_256), 60_000)
  expect(check(lost).findings.map(({ code }) => code)).toContain('block-slipped')
  expect(check(new Float64Array(whole.length)).findings.map(({ code }) => code)).toEqual(['silent'])
})

test('the loop-back is the second channel: what the path does is taken out', () => {
  const path = recorded()
  const { gainAt1kHzDb } = check(
    path.map((x) => x * 0.5),
    path,
  )
  // Half is 20 lg 0.5 = -6.0206 dB.
  expect(gainAt1kHzDb).toBeCloseTo(-6.0206, 2)
})

/** Ideal low-pass below a frequency: sin(x)/x under a Blackman window, 511 taps. */
function lowPassed(samples: Float64Array, cutHz: number): Float64Array {
  const half = 255
  const taps = Float64Array.from({ length: 2 * half + 1 }, (_, i) => {
    const n = i - half
    const turn = (2 * Math.PI * cutHz) / 48_000
    const window = 0.42 + 0.5 * Math.cos((Math.PI * n) / half) + 0.08 * Math.cos((2 * Math.PI * n) / half)
    return (n === 0 ? turn / Math.PI : Math.sin(turn * n) / (Math.PI * n)) * window
  })
  return samples.map((_, k) => {
    let sum = 0
    for (let i = 0; i < taps.length; i++) sum += taps[i] * (samples[k - i + half] ?? 0)
    return sum
  })
}

test('a path that ends below the sweep shows a converted rate; a gentle fall does not', () => {
  // 44.1 kHz carries nothing above 22.05 kHz.
  const converted = check(lowPassed(recorded(), 22_050))
  expect(converted).toMatchObject({ usable: false, findings: [{ code: 'wrong-rate' }] })
  expect(converted.findings[0].message).toContain('less than 48 kHz')
  // A one-pole low-pass falls by 6 dB in an octave: no converter, a board.
  const pole = Math.exp((-2 * Math.PI * 3000) / 48_000)
  let last = 0
  const fallen = recorded().map((x) => {
    last = (1 - pole) * x + pole * last
    return last
  })
  expect(check(fallen).findings.map(({ code }) => code)).not.toContain('wrong-rate')
})
