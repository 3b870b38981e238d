import { all, create } from 'mathjs'
import { describe, expect, it } from 'vitest'
import { coarseReading, makeCase } from '../../src/diagnosis/evidence-case.ts'
import { improve, refresh, startFit } from '../../src/diagnosis/fit.ts'
import { hypothesesOf } from '../../src/diagnosis/hypotheses.ts'
import { predict, type Tap } from '../../src/diagnosis/predict.ts'
import { prepareHypothesis } from '../../src/diagnosis/prepare-hypothesis.ts'
import { makeReading } from '../../src/diagnosis/reading.ts'
import { twinOf } from '../../src/diagnosis/twin.ts'
import { plover } from '../circuit/read-product.ts'
import { benchFor } from './bench.ts'

const math = create(all, {})
const twin = twinOf(plover.circuit)
const prepare = (id: string) => prepareHypothesis(twin, hypothesesOf(plover).hypotheses.find((h) => h.id === id)!)
const healthy = prepare('healthy')
const zero = { latents: new Float64Array(twin.latents.count), free: 0 }
const read = (seed: number, faults: Parameters<typeof benchFor>[2], settings = ['max', 'min', 'centre']) =>
  benchFor(plover, seed, faults)
    .sweeps(settings)
    .map(({ setting, curve }) =>
      makeReading({
        setting,
        positions: plover.settings.find((s) => s.name === setting)!.positions,
        node: null,
        curve: curve!,
        healthy: (tap: Tap) => predict(healthy, zero, tap),
      }),
    )

describe('the fit of a board', () => {
  it('has the evidence of the normal law with the healthy covariance, worked out densely by mathjs', () => {
    const one = makeCase({ readings: read(5, [], ['max']).map(coarseReading), latentCount: twin.latents.count })
    let fit = improve(one, startFit(one, healthy), 5)
    for (let k = 0; k < 4; k++) fit = improve(one, refresh(one, fit), 5)
    const { columns, active, logDeterminant } = fit.linear
    const n = one.rows
    const covariance = Array.from({ length: n }, (_, i) =>
      Array.from({ length: n }, (_, j) => columns.reduce((sum, c) => sum + c[i] * c[j], i === j ? 1 : 0)),
    )
    // The determinant lemma: ln det(1 + JᵀJ) = ln det(1 + JJᵀ). Condition 1e6 costs six digits.
    expect(logDeterminant).toBeCloseTo(Math.log(math.det(covariance)), 6)
    // At the minimum of the linear problem, r + Jz is what the covariance weighs.
    const shifted = Array.from(fit.residual, (r, i) => columns.reduce((sum, c, k) => sum + c[i] * fit.z[active[k]], r))
    const solved = (math.lusolve(covariance, shifted) as number[][]).flat()
    const quadratic = shifted.reduce((sum, x, i) => sum + x * solved[i], 0)
    // The last step was below 0.02 deviations: second order of that.
    expect(fit.cost).toBeCloseTo(quadratic / 2, 2)
  })

  it('fits healthy boards as well as the noise allows, and finds the size of a fault', () => {
    for (const seed of [1, 2, 3]) {
      const one = makeCase({
        readings: read(seed, [{ kind: 'series-resistance', designator: 'C8', value: 700 }]),
        latentCount: twin.latents.count,
      })
      const joint = prepare('cold-joint C8 300')
      let fit = improve(one, startFit(one, joint), 4)
      for (let k = 0; k < 3; k++) fit = improve(one, refresh(one, fit), 4)
      // 294 numbers: their squares add up to 294 at most, a deviation is 24.
      expect(2 * fit.cost).toBeLessThan(294 + 3 * 24)
      const ohm = 300 * Math.exp(0.8 * fit.z[one.layout.free])
      expect(ohm).toBeGreaterThan(600)
      expect(ohm).toBeLessThan(800)
    }
  })

  it('does not mind a delay, nor the polarity of the rig', () => {
    const [plain] = read(4, [], ['max'])
    const one = makeCase({ readings: [plain], latentCount: twin.latents.count })
    const turned = {
      ...plain,
      phase: plain.phase.map((p, k) => p + Math.PI - plain.tap.omega[k] * 4e-5),
    }
    const other = makeCase({ readings: [turned], latentCount: twin.latents.count })
    const cost = (c: typeof one) => improve(c, refresh(c, improve(c, startFit(c, healthy), 4)), 4).cost
    // The prior of the delay itself costs a little: half the square of 4e-5 s over its deviation of 5e-5 s.
    expect(Math.abs(cost(other) - cost(one))).toBeLessThan(0.6)
  })
})
