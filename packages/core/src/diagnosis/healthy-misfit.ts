import { positionsOf } from '../circuit/simulate-recording.ts'
import type { Product } from '../model/product.ts'
import type { SettingMeasurement } from '../model/test-run.ts'
import { makeCase } from './evidence-case.ts'
import { improve, settle, startFit } from './fit.ts'
import { predict } from './predict.ts'
import { prepareHypothesis } from './prepare-hypothesis.ts'
import { makeReading } from './reading.ts'
import { twinOf } from './twin.ts'

/**
 * How badly a healthy board, its parts anywhere within their tolerances, explains measured curves: chi-square over so many
 * numbers. A board whose misfit lies far above that number has a shape that no healthy board has.
 *
 * @throws BoardwrightError `setting-unknown`, `bad-circuit`
 */
export const healthyMisfit = (options: {
  product: Product
  measurements: readonly SettingMeasurement[]
}): { chiSquare: number; numbers: number } => {
  const { product, measurements } = options
  const twin = twinOf(product.circuit)
  const healthy = prepareHypothesis(twin, {
    id: 'healthy',
    kind: 'healthy',
    designators: [],
    nodes: [],
    fault: null,
    weight: 1,
  })
  const zero = { latents: new Float64Array(twin.latents.count), free: 0 }
  const readings = measurements.flatMap(({ setting, curve, usable }) =>
    curve && usable
      ? [
          makeReading({
            setting,
            positions: positionsOf(product, setting),
            node: null,
            curve,
            healthy: (tap) => predict(healthy, zero, tap),
          }),
        ]
      : [],
  )
  const one = makeCase({ readings, latentCount: twin.latents.count })
  const fit = settle(one, improve(one, startFit(one, healthy), 3), 4)
  return { chiSquare: 2 * fit.cost, numbers: one.rows }
}
