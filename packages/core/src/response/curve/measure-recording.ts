import { BoardwrightError } from '../../model/error.ts'
import { isRefused } from '../../model/finding.ts'
import type { ResponseCurve } from '../../model/response-curve.ts'
import { findClockError } from '../clock/find-clock-error.ts'
import { readAtSpeed } from '../clock/read-at-speed.ts'
import { humLeftDb } from '../hum/hum-noise.ts'
import { removeHum, type WithoutHum } from '../hum/remove-hum.ts'
import { checkRecording } from '../recording/check-recording.ts'
import type { Alignment } from '../recording/recording-view.ts'
import { findSweep } from '../sweep/find-sweep.ts'
import { correctCurve } from './correct-curve.ts'
import { makeCurve } from './curve.ts'
import { gridFrequenciesHz, gridIndexOf1kHz } from './grid.ts'
import { measureBodies } from './measure-bodies.ts'
import type { Measurement, MeasureOptions } from './measurement.ts'
import { measureNoise } from './noise.ts'

const defaultUncertaintyDb = 0.1

/** Under this score nothing in the recording is the sweep. */
const leastScore = 0.02

const pickChannels = ({ recording, channel, loopBackChannel }: MeasureOptions) => {
  const count = recording.channels.length
  const chosen = channel ?? (loopBackChannel === 0 ? 1 : 0)
  for (const wanted of [chosen, loopBackChannel]) {
    if (wanted !== undefined && !(wanted in recording.channels)) {
      throw new BoardwrightError(
        'bad-argument',
        `The recording has ${count} channel(s), none with number ${wanted + 1}.`,
      )
    }
  }
  if (chosen === loopBackChannel) {
    throw new BoardwrightError('bad-argument', `Channel ${chosen + 1} cannot be both the response and the loop-back.`)
  }
  return {
    channel: chosen,
    samples: recording.channels[chosen],
    loopBackChannel: loopBackChannel ?? null,
    loopBack: loopBackChannel === undefined ? null : recording.channels[loopBackChannel],
  }
}

const gainAt1kHz = (curve: ResponseCurve | null): number | null =>
  curve?.gainDb[curve.frequencyHz.indexOf(gridFrequenciesHz[gridIndexOf1kHz])] ?? null

const sharpen = (alignment: Alignment, lagS: number, rateHz: number): Alignment => ({
  ...alignment,
  offsetSamples: alignment.offsetSamples + Math.round(lagS * rateHz),
})

/** Everything that is computed once the sweep has been found. */
const measureFound = (options: MeasureOptions, channels: ReturnType<typeof pickChannels>, coarse: Alignment) => {
  const { sweep, correction } = options
  const clean = (samples: Float64Array) => removeHum({ samples, sweep, offsetSamples: coarse.offsetSamples })
  const { offsetSamples } = coarse
  const heard = clean(channels.samples)
  const heardLoopBack = channels.loopBack && clean(channels.loopBack)
  const clockError = findClockError({ sweep, samples: (heardLoopBack ?? heard).samples, offsetSamples })
  const inTime = (one: WithoutHum): WithoutHum =>
    clockError === 0
      ? one
      : { ...one, samples: readAtSpeed({ samples: one.samples, speed: 1 - clockError, fixedSample: offsetSamples }) }
  const response = inTime(heard)
  const loopBack = heardLoopBack && inTime(heardLoopBack)
  const bodies = measureBodies({ sweep, response, loopBack, alignment: coarse })
  if (!bodies) return null
  const { mean, each, first, impulse, distortion } = bodies
  const finish = (one: typeof mean) => {
    const curve = makeCurve(one, sweep.settings)
    return correction ? correctCurve(curve, correction) : curve
  }
  const curve = finish(mean)
  const alignment = sharpen(coarse, first.delayS, sweep.rateHz)
  const delayS = channels.loopBack ? mean.delayS : coarse.offsetSamples / sweep.rateHz + mean.delayS
  return {
    alignment,
    curve,
    perRepeat: each.length > 1 ? each.map(finish) : undefined,
    noise: measureNoise({ sweep, samples: channels.samples, offsetSamples: alignment.offsetSamples }),
    polarity: mean.polarity,
    delayS,
    impulse,
    distortion,
    hum: response.hum,
    withoutHum: response.samples,
    humLeftDb: humLeftDb({ relativeHum: mean.relativeHum, curve }),
    clockError,
  }
}

/**
 * Measures one recording of a stimulus: finds the sweep, checks the recording, and gives curve, distortion, noise and
 * impulse response. Gain is relative to the stimulus file (the same samples recorded read 0 dB); with a loop-back it is
 * relative to that. A recording that proves nothing comes back with `usable: false` and findings that say why.
 *
 * @throws BoardwrightError `bad-argument` for a channel that the recording does not have
 */
export const measureRecording = (options: MeasureOptions): Measurement => {
  const { sweep, recording } = options
  const channels = pickChannels(options)
  const sameRate = recording.rateHz === sweep.rateHz
  const coarse = sameRate ? findSweep({ sweep, recording: channels.loopBack ?? channels.samples }) : null
  const found = coarse && coarse.score >= leastScore ? measureFound(options, channels, coarse) : null
  const polarity = found?.polarity ?? 1
  const findings = checkRecording({
    sweep,
    recording,
    ...channels,
    alignment: found?.alignment ?? coarse,
    wantedUncertaintyDb: options.wantedUncertaintyDb ?? defaultUncertaintyDb,
    measured: {
      curve: found?.curve ?? null,
      noise: found?.noise ?? null,
      polarity,
      impulse: found?.impulse ?? null,
      hum: found?.hum ?? null,
      withoutHum: found?.withoutHum ?? null,
      humLeftDb: found?.humLeftDb ?? 0,
      clockError: found?.clockError ?? 0,
    },
  })
  const measurement: Measurement = {
    usable: found !== null && !isRefused(findings),
    findings,
    curve: found?.curve ?? null,
    distortion: found?.distortion ?? null,
    noise: found?.noise ?? null,
    gainAt1kHzDb: gainAt1kHz(found?.curve ?? null),
    delayS: found?.delayS ?? 0,
    polarity,
    impulse: found?.impulse ?? null,
    offsetSamples: found?.alignment.offsetSamples ?? null,
  }
  return found?.perRepeat ? { ...measurement, perRepeat: found.perRepeat } : measurement
}
