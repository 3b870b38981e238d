import type { WithoutHum } from '../hum/remove-hum.ts'
import type { Alignment } from '../recording/recording-view.ts'
import type { SweepSignal } from '../sweep/sweep-signal.ts'
import { type BodyResponse, readBody } from './body-response.ts'
import { type CombinedResponse, combineBodies } from './combine-bodies.ts'
import { measureDistortion } from './distortion.ts'
import { responsePlan } from './response-plan.ts'

/** A body counts as recorded when at least this part of it lies inside the recording. */
const leastPart = 0.5

/** Where each recorded body begins, and where the next sound or the end stops its answer. */
const bodyStretches = (sweep: SweepSignal, offsetSamples: number, length: number) => {
  const starts = [...sweep.bodies, ...sweep.markers].map((span) => span.startSample).sort((a, b) => a - b)
  return sweep.bodies
    .map(({ startSample, endSample }) => {
      const next = starts.find((start) => start >= endSample)
      const fromSample = startSample + offsetSamples
      const toSample = Math.min(length, next === undefined ? length : next + offsetSamples)
      const recorded = Math.min(length, endSample + offsetSamples) - Math.max(0, fromSample)
      return { fromSample, toSample, part: recorded / (endSample - startSample) }
    })
    .filter((stretch) => stretch.part >= leastPart)
}

/** Longest tail behind a body that is used: what comes later in a long recording is only noise. */
const longestTailS = 2

/**
 * Measures all repeats of the stimulus in a recording.
 *
 * @returns null when less than half of a sweep lies inside the recording
 */
export const measureBodies = (options: {
  sweep: SweepSignal
  response: WithoutHum
  loopBack: WithoutHum | null
  alignment: Alignment
}) => {
  const { sweep, response, loopBack, alignment } = options
  const plan = responsePlan(sweep)
  const bodyLength = sweep.bodies[0].endSample - sweep.bodies[0].startSample
  const longest = bodyLength + Math.round(longestTailS * sweep.rateHz)
  const stretches = bodyStretches(sweep, alignment.offsetSamples, response.samples.length)
  if (stretches.length === 0) return null
  const readAll = ({ samples, hum }: WithoutHum): BodyResponse[] =>
    stretches.map(({ fromSample, toSample }) =>
      readBody({ plan, samples, hum, fromSample, toSample: Math.min(toSample, fromSample + longest) }),
    )
  const bodies = readAll(response)
  const { mean, each } = combineBodies(bodies, loopBack ? readAll(loopBack) : null)
  const first = bodies[0]
  const distortion = measureDistortion(bodies, sweep.settings)
  return { mean, each, first, impulse: first.impulse, distortion } satisfies {
    mean: CombinedResponse
    each: CombinedResponse[]
    first: BodyResponse
    impulse: unknown
    distortion: unknown
  }
}
