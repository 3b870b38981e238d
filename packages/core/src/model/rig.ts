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

/** Noise and headroom of the rig's input, read with the output looped back. */
export const InputNoise = z.object({
  measuredAt: z.iso.datetime(),
  /** With nothing played, dB; a full-scale sine is 0 dB. */
  unweightedDbfs: z.number(),
  aWeightedDbfs: z.number(),
  /** Loudest sample while a tone is played at the level limit, dBFS; what is missing to 0 is room for a board's gain. */
  loudestDbfs: z.number(),
})
export type InputNoise = z.infer<typeof InputNoise>

/** Mains hum in the rig's input; null for both when none stands out of the noise. */
export const InputHum = z.object({
  measuredAt: z.iso.datetime(),
  mainsHz: z.union([z.literal(50), z.literal(60)]).nullable(),
  levelDbfs: z.number().nullable(),
})
export type InputHum = z.infer<typeof InputHum>

/** Who moves a board from one setting to the next: a person who turns the knobs, or the rig. */
export const SettingChange = z.enum(['by-hand', 'by-rig'])
export type SettingChange = z.infer<typeof SettingChange>

/** What a rig is called; a workshop with one rig never needs to say it. */
export const RigName = z.string().regex(/^[a-z][a-z0-9-]{0,31}$/, 'use small letters, digits and hyphens')
export const usualRigName = 'rig'

/** One version of a rig's settings, named: it is kept with every run that was measured through it. */
export const RigVersion = z.object({ name: RigName, version: z.number().int().min(1) })
export type RigVersion = z.infer<typeof RigVersion>

/** Name and version alone, of settings that are at hand. */
export const rigVersionOf = ({ name, version }: RigVersion): RigVersion => ({ name, version })

/** Everything about a rig with a sound interface that a measurement depends on. Each change makes a new version. */
export const RigSettings = z.object({
  name: RigName.default(usualRigName),
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
  settingChange: SettingChange.default('by-hand'),
  calibration: LevelCalibration.nullable().default(null),
  correction: LoopBackCorrection.nullable().default(null),
  noise: InputNoise.nullable().default(null),
  hum: InputHum.nullable().default(null),
  /** What drives the board's input and what loads its output, ohm; null until measured or read from data. */
  sourceResistanceOhm: z.number().nonnegative().nullable().default(null),
  loadResistanceOhm: z.number().positive().nullable().default(null),
})
export type RigSettings = z.infer<typeof RigSettings>

/** What a person can change; version and time follow by themselves. */
export type RigChanges = Partial<Omit<z.input<typeof RigSettings>, 'name' | 'version' | 'changedAt'>>

/** What was measured through a path is worth nothing on another one. */
const measuredThroughPath = { calibration: null, correction: null, noise: null, hum: null }

/** True when both play and record through the same devices, channels and rate, so that what was measured still holds. */
export const isSamePath = (one: RigSettings, other: RigSettings): boolean =>
  (['family', 'rateHz', 'output', 'input'] as const).every(
    (key) => JSON.stringify(one[key]) === JSON.stringify(other[key]),
  )

/**
 * The settings after a change: one version up, with its time; the older version stays as it was. Another device, channel or
 * rate drops what was measured through the old ones, unless the change brings it along.
 */
export const reviseRigSettings = (settings: RigSettings, changes: RigChanges, at: Date): RigSettings => {
  const next = { ...settings, ...changes, version: settings.version + 1, changedAt: at.toISOString() }
  const parsed = RigSettings.parse(next)
  return isSamePath(settings, parsed) ? parsed : RigSettings.parse({ ...next, ...measuredThroughPath, ...changes })
}
