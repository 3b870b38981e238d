import { describe, expect, it } from 'vitest'
import { yieldUnder } from '../../src/circuit/band-from-tolerance.ts'
import { drawBoard } from '../../src/circuit/draw-board.ts'
import type { Fault } from '../../src/circuit/fault.ts'
import { learnHealthyModel } from '../../src/circuit/healthy-model.ts'
import { operatingPointOf } from '../../src/circuit/operating-point.ts'
import { prepareCircuit } from '../../src/circuit/prepare-circuit.ts'
import { RandomSource } from '../../src/circuit/random.ts'
import { gainDbOf, responseOf } from '../../src/circuit/response.ts'
import { testShape } from '../../src/circuit/shape-test.ts'
import { drawCloud, toleranceGridHz } from '../../src/circuit/tolerance-cloud.ts'
import { plover } from './read-product.ts'

const settings = plover.settings.slice(0, 3)
const netlist = prepareCircuit(plover.circuit)
const n = toleranceGridHz.length

describe.each(['nominal', 'another-board'] as const)('healthy boards against %s', (against) => {
  const model = learnHealthyModel({ netlist, settings, against })
  it('are wrongly failed in at most 1 % of 4,000, noise of 0.05 dB and a rig level of 0.05 dB included', () => {
    const cloud = drawCloud({ netlist, settings, seed: 321, boards: 4001 })
    const random = new RandomSource(6)
    let failed = 0
    for (let b = 0; b < 4000; b++) {
      const level = 0.05 * random.normal()
      const deviations = cloud.settings.map(({ setting, deviationDb }) => ({
        setting,
        frequencyHz: toleranceGridHz,
        deviationDb: Float64Array.from({ length: n }, (_, i) => {
          const other = against === 'nominal' ? 0 : deviationDb[(b + 1) * n + i]
          return deviationDb[b * n + i] - other + level + 0.05 * random.normal()
        }),
      }))
      if (!testShape({ model, deviations }).passed) failed++
    }
    expect(failed / 4000).toBeLessThanOrEqual(0.01)
    expect(failed).toBeGreaterThan(0)
  })
})

describe('faulty boards', () => {
  const model = learnHealthyModel({ netlist, settings, against: 'nominal' })
  const nominalDb = settings.map((s) =>
    gainDbOf(responseOf({ netlist, positions: s.positions, frequencyHz: toleranceGridHz })),
  )
  const judge = (faults: Fault[], seed: number) => {
    const board = drawBoard({ product: plover, seed, faults })
    const random = new RandomSource(seed)
    const deviations = settings.map(({ name, positions }, s) => {
      const { values } = operatingPointOf({ netlist: board.netlist, values: board.values, positions })
      const gain = gainDbOf(responseOf({ netlist: board.netlist, values, positions, frequencyHz: toleranceGridHz }))
      const deviationDb = gain.map((x, i) => x - nominalDb[s][i] + 0.05 * random.normal())
      return { setting: name, frequencyHz: toleranceGridHz, deviationDb }
    })
    return { ...testShape({ model, deviations }), deviations }
  }

  it.each([
    { kind: 'open', designator: 'C7' },
    { kind: 'short', designator: 'C8' },
    { kind: 'value', designator: 'C9', value: '33 nF' },
    { kind: 'reversed', designator: 'P1' },
    { kind: 'dead', designator: 'U1A' },
    { kind: 'stuck-low', designator: 'U1B' },
    { kind: 'value', designator: 'R5', value: '100 kohm' },
  ] as Fault[])('fail: %j', (fault) => {
    for (const seed of [1, 2, 3]) expect(judge([fault], seed).passed).toBe(false)
  })

  it('inside every band limit but of an impossible shape fail, and the reason says where', () => {
    // C5 a tenth of its value: 0.3 dB too little at 20 Hz with the bass at centre, well inside the band.
    const judgement = judge([{ kind: 'value', designator: 'C5', value: '1 uF' }], 5)
    const cloud = {
      boards: 1,
      frequencyHz: toleranceGridHz,
      settings: judgement.deviations.map((d, s) => ({
        setting: d.setting,
        nominalDb: nominalDb[s],
        deviationDb: d.deviationDb,
      })),
    }
    expect(yieldUnder({ cloud, bands: plover.testPlan.bands, against: 'nominal' })).toBe(1)
    expect(judgement.passed).toBe(false)
    expect(judgement.message).toMatch(/at (max|min|centre) near \d+ Hz/)
    expect(judgement.worst.frequencyHz).toBeLessThan(60)
  })

  it('are asked for at every setting the model knows', () => {
    expect(() => testShape({ model, deviations: [] })).toThrow('max')
  })

  it('are judged alike on the finer measuring grid', () => {
    const fine = Float64Array.from({ length: 241 }, (_, i) => 20 * 10 ** (i / 80))
    const deviations = settings.map(({ name }) => ({
      setting: name,
      frequencyHz: fine,
      deviationDb: fine.map((f) => Math.exp(-(Math.log(f / 3000) ** 2) / 0.02)),
    }))
    const judgement = testShape({ model, deviations })
    expect(judgement.passed).toBe(false)
    expect(judgement.worst.frequencyHz).toBeGreaterThan(2500)
    expect(judgement.worst.frequencyHz).toBeLessThan(3600)
  })
})
