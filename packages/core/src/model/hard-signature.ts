import { z } from 'zod'
import { Finding } from './finding.ts'

/** One harmonic of a tone: level relative to the fundamental, and its turn against it. */
export const HardHarmonic = z.object({
  order: z.number().int().min(2),
  levelDb: z.number(),
  /**
   * Phase counted from the crest of the fundamental, degrees, -180 to 180. 0: the harmonic adds to that crest; 180: it takes
   * from it. A board without memory has nothing but these two.
   */
  phaseDeg: z.number(),
  /** What noise alone would read there, dB relative to the fundamental. */
  noiseDb: z.number(),
})
export type HardHarmonic = z.infer<typeof HardHarmonic>

/** One tone at one level of the ladder. */
export const HardStep = z.object({
  toneHz: z.number().positive(),
  /** Peak at the board's input, V. */
  inputV: z.number().positive(),
  /** Gain of the fundamental, dB. */
  gainDb: z.number(),
  thdPercent: z.number().nonnegative(),
  /** Highest and lowest point of the wave at the output, V against its mean over one period. */
  highV: z.number(),
  lowV: z.number(),
  harmonics: z.array(HardHarmonic),
})
export type HardStep = z.infer<typeof HardStep>

const perPoint = z.array(z.number().nullable())
/** The loud sweep, over the frequency of the fundamental. */
export const HardSweep = z.object({
  levelV: z.number().positive(),
  frequencyHz: z.array(z.number()),
  gainDb: z.array(z.number()),
  thdPercent: z.array(z.number()),
  /** null where the harmonic lies beyond the band of the sweep. */
  harmonics: z.array(z.object({ order: z.number().int(), levelDb: perPoint, phaseDeg: perPoint, noiseDb: perPoint })),
})
export type HardSweep = z.infer<typeof HardSweep>

/** A board pressed hard at one voltage of its battery; without steps or sweep where a recording proved nothing. */
export const HardAtSupply = z.object({
  name: z.string(),
  label: z.string(),
  voltageV: z.number(),
  findings: z.array(Finding),
  /** By level, then by tone. */
  steps: z.array(HardStep),
  sweep: HardSweep.nullable(),
})
export type HardAtSupply = z.infer<typeof HardAtSupply>

/** What a board does when it is pressed hard. */
export const HardSignature = z.object({
  setting: z.string(),
  supplies: z.array(HardAtSupply).min(1),
})
export type HardSignature = z.infer<typeof HardSignature>
