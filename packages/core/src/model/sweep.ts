import { z } from 'zod'

/** Sample formats a WAV file can be written in. */
export const sampleFormats = ['pcm16', 'pcm24', 'pcm32', 'float32'] as const
export const SampleFormat = z.enum(sampleFormats)
export type SampleFormat = z.infer<typeof SampleFormat>

/**
 * An exponential sweep. From `fromHz` to `toHz` it runs at full level for `durationS`; a run-in below and a run-out above
 * carry the fades, so that the whole band asked for is measured at full level.
 */
export const SweepSettings = z.object({
  rateHz: z.number().int().min(44_100).max(192_000).default(48_000),
  durationS: z.number().min(0.2).max(60).default(5),
  fromHz: z.number().min(5).max(20_000).default(20),
  toHz: z.number().min(20).max(90_000).default(20_000),
  /** Peak level, dB relative to full scale. */
  levelDbfs: z.number().min(-80).max(0).default(-6),
  repeats: z.number().int().min(1).max(16).default(1),
  silenceBeforeS: z.number().min(0).max(10).default(0.3),
  silenceAfterS: z.number().min(0).max(10).default(0.7),
  /** Two short chirps before and after the sweeps: their distance proves that no block was lost or doubled. */
  markers: z.boolean().default(true),
})
export type SweepSettings = z.infer<typeof SweepSettings>
