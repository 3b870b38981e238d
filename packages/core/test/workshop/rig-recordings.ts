import plover from '../../../../shared/products/plover.json' with { type: 'json' }
import { makeSimulatedRig } from '../../src/audio/simulated-rig.ts'
import type { Fault } from '../../src/circuit/fault.ts'
import { Product } from '../../src/model/product.ts'
import { makeSweep } from '../../src/response/sweep/sweep.ts'
import type { SettingRecording } from '../../src/workshop/workshop.ts'

// Recordings of simulated Plover boards, with a short sweep so that the tests of the verbs are quick.

export const product: Product = Product.parse({
  ...plover,
  testPlan: {
    ...plover.testPlan,
    stimulus: { ...plover.testPlan.stimulus, durationS: 1, silenceBeforeS: 0.1, silenceAfterS: 0.4 },
  },
})

export const sweep = makeSweep(product.testPlan.stimulus)

/** C7 out of the wrong bag: found in every bass setting. */
export const wrongCapacitor: readonly Fault[] = [{ kind: 'value', designator: 'C7', value: '3.3 nF' }]

/** Recordings of one board, one a setting. */
export async function record(options: {
  serial: string
  settings?: readonly string[]
  faults?: readonly Fault[]
  spread?: 'none' | 'uniform'
  product?: Product
  /** Draws other boards, other noise and other starts. */
  seed?: number
}): Promise<SettingRecording[]> {
  const { serial, settings = ['max', 'min'], faults = [], spread, seed } = options
  const rig = makeSimulatedRig({
    product: options.product ?? product,
    spread,
    seed,
    faultsOf: () => faults,
    speed: Number.POSITIVE_INFINITY,
    clip: false,
  })
  const recordings: SettingRecording[] = []
  for (const setting of settings) recordings.push({ setting, ...(await rig.run({ serial, setting, sweep })) })
  return recordings
}

/** Recordings of the reference board: its parts are as drawn. Several runs a setting, each with noise of its own. */
export async function recordReference(runs = 2): Promise<SettingRecording[]> {
  const all: SettingRecording[] = []
  const settings = ['max', 'min', 'centre']
  for (let run = 0; run < runs; run++)
    all.push(...(await record({ serial: `REFERENCE-${run}`, settings, spread: 'none', seed: run + 1 })))
  return all
}

/** The same recordings with nothing on them: the cable had fallen out. */
export const silenced = (recordings: readonly SettingRecording[]): SettingRecording[] =>
  recordings.map((recording) => ({
    ...recording,
    audio: {
      ...recording.audio,
      channels: recording.audio.channels.map((samples) => new Float64Array(samples.length)),
    },
  }))
