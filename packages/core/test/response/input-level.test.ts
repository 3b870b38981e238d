import { describe, expect, test } from 'vitest'
import { inputHum } from '../../src/response/level/input-hum.ts'
import { inputNoise, loudestDbfs } from '../../src/response/level/input-noise.ts'
import { resistancesFromDrops } from '../../src/response/level/resistances-from-drops.ts'
import { normalDraws } from './seeded-noise.ts'

const rateHz = 48_000
const seconds = (s: number) => Math.round(s * rateHz)
const db = (amplitude: number) => 20 * Math.log10(amplitude)

/** White noise of this root mean square. */
function noise(durationS: number, rms: number, seed = 1): Float64Array {
  const draw = normalDraws(seed)
  return Float64Array.from({ length: seconds(durationS) }, () => rms * draw())
}

const withTones = (samples: Float64Array, tones: readonly (readonly [hz: number, amplitude: number])[]) =>
  samples.map((x, i) => tones.reduce((sum, [hz, a]) => sum + a * Math.sin((2 * Math.PI * hz * i) / rateHz + hz), x))

describe('noise of an input', () => {
  test('a full-scale sine reads 0 dB, also when a direct voltage lies on it', () => {
    const sine = withTones(new Float64Array(seconds(1)).fill(0.1), [[1000, 1]])
    const { unweightedDbfs, aWeightedDbfs } = inputNoise({ samples: sine, rateHz })
    expect(unweightedDbfs).toBeCloseTo(0, 3)
    // IEC 61672-1: the A weighting is 0 dB at 1 kHz.
    expect(aWeightedDbfs).toBeCloseTo(0, 2)
  })
  test('A weighting of 100 Hz is -19.1 dB (IEC 61672-1, table 3)', () => {
    const sine = withTones(new Float64Array(seconds(1)), [[100, 1]])
    expect(inputNoise({ samples: sine, rateHz }).aWeightedDbfs).toBeCloseTo(-19.1, 1)
  })
  test('white noise reads its power', () => {
    const { unweightedDbfs } = inputNoise({ samples: noise(2, 1e-5), rateHz })
    // 3.01 dB: a sine of the same r.m.s. value has a peak higher by that. 96,000 draws are good to 0.04 dB (k = 2).
    expect(Math.abs(unweightedDbfs - (db(1e-5) + 3.01))).toBeLessThan(0.06)
  })
  test('a silence too short is refused, digital silence is a number', () => {
    expect(() => inputNoise({ samples: noise(0.3, 1e-5), rateHz })).toThrow(/too short/)
    expect(inputNoise({ samples: new Float64Array(seconds(1)), rateHz }).unweightedDbfs).toBe(-200)
    expect(loudestDbfs(Float64Array.of(0.1, -0.5, 0.2))).toBeCloseTo(db(0.5), 9)
    expect(loudestDbfs(new Float64Array(10))).toBe(-200)
  })
})

describe('hum of an input', () => {
  test.each([50, 60] as const)('%i Hz with its multiples is found at its level', (mainsHz) => {
    const tones = [
      [mainsHz, 1e-4],
      [2 * mainsHz, 5e-5],
      [3 * mainsHz, 7e-5],
    ] as const
    const found = inputHum({ samples: withTones(noise(3, 1e-5), tones), rateHz })
    expect(found.mainsHz).toBe(mainsHz)
    expect(Math.abs(found.levelDbfs! - db(Math.hypot(1e-4, 5e-5, 7e-5)))).toBeLessThan(0.3)
  })
  test('noise alone has none, nor has a tone that is no mains', () => {
    for (let seed = 1; seed <= 5; seed++)
      expect(inputHum({ samples: noise(3, 1e-4, seed), rateHz })).toEqual({ mainsHz: null, levelDbfs: null })
    expect(inputHum({ samples: withTones(noise(3, 1e-5), [[81, 1e-3]]), rateHz }).mainsHz).toBeNull()
  })
  test('a silence too short is refused', () => {
    expect(() => inputHum({ samples: noise(1, 1e-5), rateHz })).toThrow(/too short/)
  })
})

describe('source and load resistance from the drop of a level', () => {
  // What a voltmeter would show, by Ohm's law written out: an independent way from resistances to voltages.
  function readings({ sourceOhm, loadOhm, resistorOhm }: Record<'sourceOhm' | 'loadOhm' | 'resistorOhm', number>) {
    const parallel = 1 / (1 / loadOhm + 1 / resistorOhm)
    return {
      resistorOhm,
      straight: loadOhm / (loadOhm + sourceOhm),
      inSeries: loadOhm / (loadOhm + sourceOhm + resistorOhm),
      toGround: parallel / (parallel + sourceOhm),
    }
  }
  test.each([
    { sourceOhm: 100, loadOhm: 10_000, resistorOhm: 4700 },
    { sourceOhm: 47, loadOhm: 1_000_000, resistorOhm: 10_000 },
    { sourceOhm: 600, loadOhm: 47_000, resistorOhm: 1000 },
    { sourceOhm: 0, loadOhm: 20_000, resistorOhm: 10_000 },
  ])('$sourceOhm ohm into $loadOhm ohm, found with $resistorOhm ohm', (rig) => {
    const found = resistancesFromDrops(readings(rig))!
    expect(found.sourceResistanceOhm).toBeCloseTo(rig.sourceOhm, 3)
    expect(found.loadResistanceOhm / rig.loadOhm).toBeCloseTo(1, 9)
  })
  test.each([
    ['no drop at all', { resistorOhm: 1000, straight: 1, inSeries: 1, toGround: 1 }],
    ['a rise', { resistorOhm: 1000, straight: 1, inSeries: 1.2, toGround: 0.9 }],
    ['a resistor of nothing', { resistorOhm: 0, straight: 1, inSeries: 0.9, toGround: 0.9 }],
    ['drops that no two resistances give', { resistorOhm: 1000, straight: 1, inSeries: 0.5, toGround: 0.5 }],
    ['silence', { resistorOhm: 1000, straight: 0, inSeries: 0, toGround: 0 }],
  ])('%s is refused', (_, drops) => {
    expect(resistancesFromDrops(drops)).toBeNull()
  })
})
