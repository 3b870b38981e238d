import type { ResponseCurve } from '../../model/response-curve.ts'
import type { ImpulseResponse } from '../recording/recording-view.ts'
import type { SweepSignal } from '../sweep/sweep-signal.ts'
import { makeBins, realFft } from '../transform/fft.ts'
import { chooseWindow } from './choose-window.ts'
import { advanceGrid, divideGrid, powerOfGrid } from './complex-grid.ts'
import { makeCurve } from './curve.ts'
import { addLowerLevels } from './deconvolve.ts'
import { gridFrequenciesHz } from './grid.ts'
import { readGrid } from './grid-kernels.ts'
import { type PlannedReading, responsePlan } from './response-plan.ts'

/**
 * Makes the curve of a stored impulse response again, as the measurement made it.
 *
 * @param options.sweep the stimulus it was measured with: the band edges of its inverse filter are in the impulse
 */
export const curveFromImpulse = (options: { impulse: ImpulseResponse; sweep: SweepSignal }): ResponseCurve => {
  const { impulse, sweep } = options
  const plan = responsePlan(sweep)
  const { size, rateHz } = plan.filter
  const centre = Math.round(impulse.zeroIndex)
  const ring = new Float64Array(size)
  for (let i = 0; i < impulse.samples.length; i++) ring[(i - centre + size) % size] = impulse.samples[i]
  const bins = makeBins(size)
  realFft(size).forward(ring, bins)
  const levels = addLowerLevels({ rateHz, samples: ring }, bins)
  const read = (planned: PlannedReading) =>
    divideGrid(readGrid({ kernels: planned.kernels, levels, centreS: 0, zeroS: 0 }), planned.ofStimulus)
  const { response, noisePower } = chooseWindow({
    long: read(plan.long),
    short: read(plan.short),
    longPlan: plan.long,
    shortPlan: plan.short,
    noise: impulse.noise,
  })
  const delayS = (impulse.zeroIndex - centre) / rateHz
  const power = powerOfGrid(response)
  return makeCurve(
    {
      response: advanceGrid(response, gridFrequenciesHz, delayS),
      relativeNoise: noisePower.map((noise, i) => noise / Math.max(power[i], Number.MIN_VALUE)),
    },
    sweep.settings,
  )
}
