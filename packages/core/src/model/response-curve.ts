import { z } from 'zod'

/**
 * A response curve on a rising frequency grid. All arrays have the same length. Phase is unwrapped, after removal of the
 * pure delay `delayS` stated with the measurement. `uncertaintyDb` is one standard uncertainty (k = 1) of the gain.
 */
export const ResponseCurve = z.object({
  frequencyHz: z.array(z.number().positive()),
  gainDb: z.array(z.number()),
  phaseDeg: z.array(z.number()),
  uncertaintyDb: z.array(z.number().nonnegative()),
})
export type ResponseCurve = z.infer<typeof ResponseCurve>

/** Harmonic distortion over the frequency of the fundamental; `levelDb` is relative to the fundamental. */
export const Distortion = z.object({
  frequencyHz: z.array(z.number().positive()),
  thdPercent: z.array(z.number().nonnegative()),
  /** Per order "2" to "5": level of the harmonic relative to the fundamental, dB. null where 1/order of the band ends. */
  orders: z.record(z.string(), z.array(z.number().nullable())),
})
export type Distortion = z.infer<typeof Distortion>

/** Noise of the recording outside the sweep, dB relative to full scale (a full-scale sine reads 0 dB, AES17). */
export const Noise = z.object({
  unweightedDbfs: z.number(),
  aWeightedDbfs: z.number(),
  signalToNoiseDb: z.number(),
})
export type Noise = z.infer<typeof Noise>
