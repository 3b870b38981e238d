import type { HardPlan } from '../../../src/model/hard-plan.ts'
import { HardPlan as HardPlanSchema } from '../../../src/model/hard-plan.ts'
import type { HardSignature } from '../../../src/model/hard-signature.ts'
import { SweepSettings } from '../../../src/model/sweep.ts'
import { type HardStimuli, makeHardStimuli, measureHard } from '../../../src/response/hard/measure-hard.ts'
import type { WaveAudio } from '../../../src/response/wave/wave-format.ts'
import { normalDraws } from '../seeded-noise.ts'

/** A plan whose full scale is 1 V, so that a sample is a volt. */
export const plan = {
  levelV: 0.1,
  stimulus: SweepSettings.parse({ levelDbfs: -20 }),
  confidence: 0.95,
  rigUncertaintyDb: 0.03,
}
export const hard: HardPlan = HardPlanSchema.parse({
  setting: 'max',
  sweep: { levelV: 0.5, durationS: 2 },
  tonesHz: [110, 1010],
  ladder: { fromV: 0.1, toV: 0.8, stepDb: 2 },
  supplies: [{ name: 'fresh', label: 'Fresh battery', voltageV: 9 }],
})
export const stimuli: HardStimuli = makeHardStimuli({ ...plan, hard })

/** What a board without memory answers: each sample by itself, some noise, recorded from a while before. */
export function record(
  samples: Float64Array,
  law: (inputV: number) => number,
  options: { noise?: number; seed?: number } = {},
): WaveAudio {
  const { noise = 0, seed = 1 } = options
  const early = 2000 + 37 * seed
  const out = new Float64Array(early + samples.length + 3000)
  const random = normalDraws(seed)
  for (let i = 0; i < out.length; i++) out[i] = law(samples[i - early] ?? 0) + noise * random()
  return { rateHz: 48_000, channels: [out], sampleFormat: 'float64', bits: 64, truncated: false }
}

/** A whole visit to the rig with a board of this law. */
export function press(law: (inputV: number) => number, options: { noise?: number; seed?: number } = {}): HardSignature {
  const [supply] = hard.supplies
  const at = measureHard({
    stimuli,
    supply,
    sweep: record(stimuli.sweep.samples, law, options),
    ladder: record(stimuli.ladder.samples, law, { ...options, seed: (options.seed ?? 1) + 100 }),
  })
  return { setting: hard.setting, supplies: [at] }
}

/** Gain 1.2, and hard limits. */
export const clipper =
  (lowV: number, highV: number) =>
  (x: number): number =>
    Math.min(highV, Math.max(lowV, 1.2 * x))
