import { beforeAll, describe, expect, it } from 'vitest'
import { solveDense } from '../../src/circuit/dense-solve.ts'
import { learnHealthyModel } from '../../src/circuit/healthy-model.ts'
import { prepareCircuit } from '../../src/circuit/prepare-circuit.ts'
import { RandomSource } from '../../src/circuit/random.ts'
import { learnReferenceModel, modelAgainst, type ReferenceModel } from '../../src/circuit/reference-model.ts'
import { testShape } from '../../src/circuit/shape-test.ts'
import { drawCloud, type ToleranceCloud, toleranceGridHz } from '../../src/circuit/tolerance-cloud.ts'
import { plover } from './read-product.ts'

const settings = plover.settings.slice(0, 2)
const netlist = prepareCircuit(plover.circuit)
const options = { netlist, settings, measurementDb: 0.05, levelDb: 0.05, contactDb: 0.03 }
const n = toleranceGridHz.length
const limit = 0.005

let model: ReferenceModel
let boards: ToleranceCloud
let references: ToleranceCloud
beforeAll(() => {
  model = learnReferenceModel(options, learnHealthyModel({ ...options, against: 'another-board' }))
  boards = drawCloud({ netlist, settings, seed: 4711, boards: 300 })
  references = drawCloud({ netlist, settings, seed: 815, boards: 40 })
})

/** A board of a cloud as a rig measures it, dB; the level of this rig is 3 dB off, which it cannot know. */
const measure = (cloud: ToleranceCloud, board: number, random: RandomSource) => {
  const level = 3 + 0.05 * random.normal()
  return cloud.settings.map(({ setting, nominalDb, deviationDb }) => {
    const contact = 0.03 * random.normal()
    const gainDb = nominalDb.map((x, i) => x + deviationDb[board * n + i] + level + contact + 0.02 * random.normal())
    return { setting, frequencyHz: toleranceGridHz, gainDb }
  })
}
type Curves = ReturnType<typeof measure>
const against = (unit: Curves, reference: Curves) =>
  unit.map(({ setting, frequencyHz, gainDb }, s) => ({
    setting,
    frequencyHz,
    deviationDb: gainDb.map((x, i) => x - reference[s].gainDb[i]),
  }))

describe('healthy boards against references that are drawn boards', () => {
  it('are wrongly failed in at most 1 % of 12,000', () => {
    const random = new RandomSource(12)
    const units = Array.from({ length: boards.boards }, (_, b) => measure(boards, b, random))
    let failed = 0
    for (let r = 0; r < references.boards; r++) {
      const reference = measure(references, r, random)
      const fitting = modelAgainst(model, reference)
      for (const unit of units) {
        if (!testShape({ model: fitting, deviations: against(unit, reference), limit }).passed) failed++
      }
    }
    expect(failed / units.length / references.boards).toBeLessThanOrEqual(0.01)
    expect(failed).toBeGreaterThan(0)
  })

  it('are not bent out of shape by a setting that is less certain than the other', () => {
    const random = new RandomSource(14)
    // A reference of which two runs at one setting lay 0.1 dB apart: each point of it is known to 0.08 dB only.
    const weightOf = (setting: string) => new Float64Array(n).fill(setting === settings[1].name ? 0.6 : 1)
    let failed = 0
    for (let r = 0; r < references.boards; r++) {
      const reference = measure(references, r, random)
      const fitting = modelAgainst(model, reference)
      for (let b = 0; b < 40; b++) {
        const deviations = against(measure(boards, b, random), reference).map((d) => ({
          ...d,
          weight: weightOf(d.setting),
        }))
        if (!testShape({ model: fitting, deviations, limit }).passed) failed++
      }
    }
    // Half of a dozen healthy boards of an outside simulator failed beside such a reference when the whole was drawn in.
    expect(failed / references.boards / 40).toBeLessThanOrEqual(0.01)
  })

  it('fail with a bump that is far beyond the uncertainty of its points, and pass with one within', () => {
    const random = new RandomSource(15)
    const reference = measure(references, 0, random)
    const fitting = modelAgainst(model, reference)
    const bumped = (sizeDb: number) =>
      against(measure(boards, 3, random), reference).map((d) => ({
        ...d,
        deviationDb: d.deviationDb.map((x, i) => x + (i > 28 && i < 32 ? sizeDb : 0)),
        weight: new Float64Array(n).fill(0.1),
      }))
    // The model's 0.05 dB at a weight of 0.1 is an uncertainty of 0.5 dB.
    expect(testShape({ model: fitting, deviations: bumped(0.4), limit }).passed).toBe(true)
    expect(testShape({ model: fitting, deviations: bumped(8), limit }).passed).toBe(false)
  })

  it('leave a strange shape less room than boards against a reference that nothing is known of', () => {
    // What C7 of 0.87 times its value does to the bass, on boards with tolerances of their own.
    const changed = netlist.nominal.slice()
    changed[netlist.index.get('C7') ?? -1] *= 0.87
    const off = drawCloud({ netlist: { ...netlist, nominal: changed }, settings, seed: 99, boards: 200 })
    // A cloud tells deviations from its own design: from ours they are those and the change of the design.
    const moved = {
      ...off,
      settings: off.settings.map((s, k) => ({
        ...s,
        nominalDb: boards.settings[k].nominalDb,
        deviationDb: s.deviationDb.map((x, i) => x + s.nominalDb[i % n] - boards.settings[k].nominalDb[i % n]),
      })),
    }
    const random = new RandomSource(13)
    const found = { known: 0, blind: 0 }
    for (let b = 0; b < moved.boards; b++) {
      const reference = measure(references, b % references.boards, random)
      const deviations = against(measure(moved, b, random), reference)
      if (!testShape({ model: modelAgainst(model, reference), deviations, limit }).passed) found.known++
      if (!testShape({ model: model.blind, deviations, limit }).passed) found.blind++
    }
    expect(found.known).toBeGreaterThan(1.2 * found.blind)
  })
})

describe('the estimate of the reference', () => {
  it('is the conditional mean C (C + E)^-1 y of two joint normal vectors', () => {
    // Source: conditional distribution of the multivariate normal, T. W. Anderson, "An Introduction to Multivariate
    // Statistical Analysis", theorem 2.5.1; solved here as one dense system without the ridge form.
    const reference = measure(references, 3, new RandomSource(14))
    const size = n * settings.length
    const y = Float64Array.from({ length: size }, (_, k) => {
      const s = Math.floor(k / n)
      return (reference[s].gainDb[k % n] - references.settings[s].nominalDb[k % n]) / 0.05 - model.reference.mean[k]
    })
    const both = new Float64Array(size * size)
    for (let i = 0; i < size; i++) both[i * size + i] = 1
    for (const column of model.columns)
      for (let i = 0; i < size; i++) for (let j = 0; j < size; j++) both[i * size + j] += column[i] * column[j]
    expect(solveDense(both, y)).toBe(true)
    const expected = new Float64Array(size)
    for (const column of model.columns.slice(0, model.toleranceCount)) {
      let share = 0
      for (let i = 0; i < size; i++) share += column[i] * y[i]
      for (let i = 0; i < size; i++) expected[i] += share * column[i]
    }
    // Rounding only: the rig's unknown level makes the matrix's condition about 1e6, so 1e-9 of the largest value is lost.
    const { mean } = modelAgainst(model, reference)
    const largest = expected.reduce((most, x) => Math.max(most, Math.abs(x)), 0)
    expect(largest).toBeGreaterThan(1)
    for (let i = 0; i < size; i++) expect(Math.abs(mean[i] + expected[i])).toBeLessThan(1e-7 * largest)
  })

  it('does not care about the level of the rig', () => {
    const reference = measure(references, 5, new RandomSource(15))
    const louder = reference.map((curve) => ({ ...curve, gainDb: curve.gainDb.map((x) => x + 2) }))
    const [one, other] = [modelAgainst(model, reference).mean, modelAgainst(model, louder).mean]
    // In units of the measurement's 0.05 dB: a thousandth of it.
    for (let i = 0; i < one.length; i++) expect(Math.abs(one[i] - other[i])).toBeLessThan(0.05)
  })

  it('is not trusted for a reference that the circuit does not describe', () => {
    const flat = references.settings.map(({ setting }) => ({
      setting,
      frequencyHz: toleranceGridHz,
      gainDb: new Float64Array(n),
    }))
    expect(modelAgainst(model, flat)).toBe(model.blind)
    expect(modelAgainst(model, measure(references, 7, new RandomSource(16)))).not.toBe(model.blind)
  })
})
