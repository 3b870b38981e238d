import { describe, expect, it } from 'vitest'
import { readHardSweep } from '../../../src/response/hard/read-hard-sweep.ts'
import { readLadder } from '../../../src/response/hard/read-ladder.ts'
import { normalDraws } from '../seeded-noise.ts'
import { clipper, record, stimuli } from './device.ts'

const board = clipper(-0.7, 0.7)
const whole = () => record(stimuli.ladder.samples, board, { noise: 1e-5 }).channels[0]
const read = (samples: Float64Array, rateHz = 48_000) =>
  readLadder({ ladder: stimuli.ladder, samples, rateHz, fullScaleOutV: 1, fullScaleInV: 1 })
const codes = (samples: Float64Array, rateHz?: number) => read(samples, rateHz).findings.map((one) => one.code)
const sweepCodes = (samples: Float64Array, rateHz = 48_000) =>
  readHardSweep({ sweep: stimuli.sweep, samples, rateHz, levelV: 0.5, gainOffsetDb: 0 }).findings.map((one) => one.code)

describe('a recording that proves nothing is refused, and says why', () => {
  it('takes a good one, although the board clips', () => {
    expect(codes(whole())).toEqual([])
    expect(read(whole()).steps.length).toBe(stimuli.ladder.steps.length)
    expect(sweepCodes(record(stimuli.sweep.samples, board, { noise: 1e-5 }).channels[0])).toEqual([])
  })
  it('turned upside down or with another delay, it reads the same levels', () => {
    const steps = read(whole()).steps
    const turned = read(whole().map((x) => -x)).steps
    steps.forEach((step, i) => {
      expect(turned[i].gainDb).toBeCloseTo(step.gainDb, 3)
      expect(turned[i].highV).toBeCloseTo(-step.lowV, 3)
    })
  })
  it('silent', () => {
    const random = normalDraws(1)
    const silent = new Float64Array(whole().length).map(() => 1e-5 * random())
    expect(codes(silent)).toEqual(['sweep-not-found'])
    expect(sweepCodes(silent)).toEqual(['sweep-not-found'])
  })
  it('cut off at either end', () => {
    expect(codes(whole().slice(0, 200_000))).toEqual(['cut-off'])
    expect(codes(whole().slice(60_000))).toEqual(['cut-off'])
    expect(sweepCodes(record(stimuli.sweep.samples, board).channels[0].slice(0, 120_000))).toEqual(['cut-off'])
  })
  it('at another rate', () => {
    expect(codes(whole(), 44_100)).toEqual(['wrong-rate'])
    expect(sweepCodes(whole(), 96_000)).toEqual(['wrong-rate'])
  })
  it('clipped by the recorder instead of the board', () => {
    expect(codes(record(stimuli.ladder.samples, (x) => Math.max(-1, Math.min(1, 1.5 * x))).channels[0])).toEqual([
      'clipped',
    ])
    expect(sweepCodes(record(stimuli.sweep.samples, (x) => Math.max(-1, Math.min(1, 3 * x))).channels[0])).toEqual([
      'clipped',
    ])
  })
  it('with a block lost in the middle of a tone', () => {
    const samples = whole()
    const { offset, windowStart } = { offset: 2037, windowStart: stimuli.ladder.steps[8].windowStart }
    const at = offset + windowStart + 4000
    const lost = new Float64Array(samples.length - 256)
    lost.set(samples.subarray(0, at))
    lost.set(samples.subarray(at + 256), at)
    expect(codes(lost)).toEqual(['block-damaged'])
  })
})
