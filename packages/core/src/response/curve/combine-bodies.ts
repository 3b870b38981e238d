import type { BodyResponse } from './body-response.ts'
import type { ComplexArray } from './complex-grid.ts'
import { advanceGrid, divideGrid, powerOfGrid } from './complex-grid.ts'
import { gridFrequenciesHz } from './grid.ts'
import { findPureDelay } from './pure-delay.ts'

/** A response without its pure delay, with the noise of each point as a part of the response's power. */
export interface CombinedResponse {
  response: ComplexArray
  /** Mean |noise / response|^2. */
  relativeNoise: Float64Array
  /** The part of it that is what was left of a hum. */
  relativeHum: Float64Array
  delayS: number
  polarity: 1 | -1
}

/** Neighbouring grid points over which the scatter of repeats is averaged, to either side. */
const neighbours = 6

const withoutDelay = (body: BodyResponse): CombinedResponse => {
  const response = advanceGrid(body.response, gridFrequenciesHz, body.delayS)
  const power = powerOfGrid(response)
  const relative = (of: Float64Array) => of.map((noise, i) => noise / Math.max(power[i], Number.MIN_VALUE))
  const relativeNoise = relative(body.noisePower)
  return { response, relativeNoise, relativeHum: relative(body.humPower), delayS: body.delayS, polarity: body.polarity }
}

/**
 * Response over loop-back: interface colour and latency drop out, the noise of both stays. The delay is looked for once
 * more in what remains, since each channel's own is a little off where its gain still changes at the ends of the band.
 */
const overLoopBack = (body: BodyResponse, loopBack: BodyResponse): CombinedResponse => {
  const a = withoutDelay(body)
  const b = withoutDelay(loopBack)
  const response = divideGrid(a.response, b.response)
  const relativeNoise = a.relativeNoise.map((noise, i) => noise + b.relativeNoise[i])
  const relativeHum = a.relativeHum.map((noise, i) => noise + b.relativeHum[i])
  const power = powerOfGrid(response)
  const noisePower = relativeNoise.map((noise, i) => noise * power[i])
  const rest = findPureDelay({ response, nearS: 0, noisePower })
  return {
    response: advanceGrid(response, gridFrequenciesHz, rest.delayS),
    relativeNoise,
    relativeHum,
    delayS: a.delayS - b.delayS + rest.delayS,
    polarity: rest.polarity,
  }
}

const meanOf = (responses: readonly ComplexArray[]): ComplexArray => ({
  re: responses[0].re.map((_, i) => responses.reduce((sum, r) => sum + r.re[i], 0) / responses.length),
  im: responses[0].im.map((_, i) => responses.reduce((sum, r) => sum + r.im[i], 0) / responses.length),
})

/** Variance of the mean of the repeats over the mean's power, averaged over neighbouring points. */
const scatterOf = (responses: readonly ComplexArray[], mean: ComplexArray): Float64Array => {
  const count = responses.length
  const power = powerOfGrid(mean)
  const relative = power.map((p, i) => {
    let sum = 0
    for (const r of responses) sum += (r.re[i] - mean.re[i]) ** 2 + (r.im[i] - mean.im[i]) ** 2
    return sum / (count - 1) / count / Math.max(p, Number.MIN_VALUE)
  })
  return relative.map((_, i) => {
    const near = relative.subarray(Math.max(0, i - neighbours), i + neighbours + 1)
    return near.reduce((sum, value) => sum + value, 0) / near.length
  })
}

/**
 * Brings the repeats together: each loses its own pure delay (clocks may drift between repeats), then the complex mean is
 * taken. The noise of one repeat comes from its quiet lags, of several from how they scatter; what is left of a hum may be
 * the same in all of them, so it is added.
 */
export const combineBodies = (
  bodies: readonly BodyResponse[],
  loopBacks: readonly BodyResponse[] | null,
): { mean: CombinedResponse; each: CombinedResponse[] } => {
  const each = bodies.map((body, i) => (loopBacks ? overLoopBack(body, loopBacks[i]) : withoutDelay(body)))
  const first = each[0]
  if (each.length === 1) return { mean: first, each }
  const responses = each.map((one) => one.response)
  const response = meanOf(responses)
  const scatter = scatterOf(responses, response)
  return {
    mean: { ...first, response, relativeNoise: scatter.map((noise, i) => noise + first.relativeHum[i]) },
    each,
  }
}
