import type { Finding } from '@boardwright/core'
import { makeSweep, measureRecording, prepareMeasurement, type SweepSignal } from '@boardwright/core'
import { checkBandEdge } from './check-band-edge.ts'
import type { CheckRequest, TakeCheck } from './check-messages.ts'

let known: { key: string; sweep: SweepSignal } | undefined

/** The stimulus and all that is worked out from it is made once. */
function sweepOf(stimulus: CheckRequest['stimulus']): SweepSignal {
  const key = JSON.stringify(stimulus)
  if (known?.key !== key) known = { key, sweep: makeSweep(stimulus) }
  return known.sweep
}

/** Whether a turned polarity is meant is for the judge to say, who knows the reference. */
const isForTheJudge = ({ code, severity }: Finding): boolean => code === 'polarity-turned' && severity === 'note'

/** Gets ready for recordings of a stimulus, so that the first check is as quick as the later ones. */
export const prepareCheck = ({ stimulus }: CheckRequest): void => prepareMeasurement(sweepOf(stimulus))

/** Looks at a recording with core's recording checks, and for the mark of a converted rate. */
export function checkTake({ stimulus, wantedUncertaintyDb, channels }: CheckRequest): TakeCheck {
  const sweep = sweepOf(stimulus)
  const { usable, findings, gainAt1kHzDb, noise, offsetSamples } = measureRecording({
    sweep,
    recording: { rateHz: stimulus.rateHz, channels, sampleFormat: 'float32', bits: 32, truncated: false },
    loopBackChannel: channels.length > 1 ? 1 : undefined,
    wantedUncertaintyDb,
  })
  const [response = new Float64Array(0)] = channels
  const edge = usable && offsetSamples !== null ? checkBandEdge({ sweep, response, offsetSamples }) : []
  return {
    usable: usable && edge.length === 0,
    findings: [...edge, ...findings.filter((finding) => !isForTheJudge(finding))],
    gainAt1kHzDb,
    noiseDbfs: noise?.unweightedDbfs ?? null,
    peakDbfs: 20 * Math.log10(Math.max(1e-10, peakOf(response))),
  }
}

const peakOf = (samples: Float64Array): number => samples.reduce((most, x) => Math.max(most, Math.abs(x)), 0)
