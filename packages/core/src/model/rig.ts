import { z } from 'zod'

/** The families of programs that play and record, in the order in which they are looked for. */
export const soundFamilies = ['pipewire', 'pulseaudio', 'alsa', 'sox'] as const
export const SoundFamily = z.enum(soundFamilies)
export type SoundFamily = z.infer<typeof SoundFamily>

/** A channel of a device, counted from 0. */
const Channel = z.number().int().min(0).max(63)

/**
 * What the rig itself does to a curve, measured with its output plugged into its input: subtracted from what is measured
 * through a board. All arrays have the same length.
 */
export const LoopBackCorrection = z
  .object({
    measuredAt: z.iso.datetime(),
    frequencyHz: z.array(z.number().positive()).min(1),
    gainDb: z.array(z.number()),
    phaseDeg: z.array(z.number()),
    /** One standard uncertainty (k = 1). */
    uncertaintyDb: z.array(z.number().nonnegative()),
  })
  .refine((c) => [c.gainDb, c.phaseDeg, c.uncertaintyDb].every((list) => list.length === c.frequencyHz.length), {
    message: 'frequencyHz, gainDb, phaseDeg and uncertaintyDb must be equally long',
  })
  .refine((c) => c.frequencyHz.every((f, i) => i === 0 || f > c.frequencyHz[i - 1]), {
    message: 'put the frequencies in rising order, each once',
  })
export type LoopBackCorrection = z.infer<typeof LoopBackCorrection>

/** What full scale stands for at the plugs, as peak voltages: a sine whose peak is 1.0 has this peak. */
export const LevelCalibration = z.object({
  calibratedAt: z.iso.datetime(),
  fullScaleOutV: z.number().positive(),
  fullScaleInV: z.number().positive(),
  /** How it was found: "voltmeter at 200 Hz", "data sheet of the interface". */
  method: z.string().min(1),
})
export type LevelCalibration = z.infer<typeof LevelCalibration>

/** Everything about a rig with a sound interface that a measurement depends on. Each change makes a new version. */
export const RigSettings = z.object({
  version: z.number().int().min(1),
  changedAt: z.iso.datetime(),
  /** Which programs play and record; null takes the first that is there. */
  family: SoundFamily.nullable().default(null),
  output: z.object({ device: z.string().min(1), channel: Channel.default(0) }),
  input: z.object({
    device: z.string().min(1),
    channel: Channel.default(0),
    /** The input that the output is looped back to; null when there is no such cable. */
    loopBackChannel: Channel.nullable().default(null),
  }),
  rateHz: z.number().int().min(44_100).max(192_000).default(48_000),
  /** A device with fewer bits is refused. */
  leastBits: z.number().int().min(16).max(32).default(24),
  /** Nothing is ever played with a peak above this. */
  maxLevelDbfs: z.number().min(-80).max(0).default(-12),
  calibration: LevelCalibration.nullable().default(null),
  correction: LoopBackCorrection.nullable().default(null),
  /** What drives the board's input and what loads its output, ohm; null until measured or read from data. */
  sourceResistanceOhm: z.number().nonnegative().nullable().default(null),
  loadResistanceOhm: z.number().positive().nullable().default(null),
})
export type RigSettings = z.infer<typeof RigSettings>

/** The settings after a change: one version up, with its time; the older version stays as it was. */
export const reviseRigSettings = (
  settings: RigSettings,
  changes: Partial<Omit<RigSettings, 'version' | 'changedAt'>>,
  at: Date,
): RigSettings =>
  RigSettings.parse({ ...settings, ...changes, version: settings.version + 1, changedAt: at.toISOString() })
