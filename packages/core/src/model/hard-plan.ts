import { z } from 'zod'

/** A level at the board's input: as a peak voltage, or as the level at the interface. One of them. */
const oneLevel = (what: { levelV?: number; levelDbfs?: number }): boolean =>
  (what.levelV === undefined) !== (what.levelDbfs === undefined)
const volts = z.number().positive()
const dbfs = z.number().min(-80).max(0)

/** Highest order that is measured; the sweep tells apart orders 2 to 5 only. */
export const highestHardOrder = 7

/** How far a board pressed hard may lie from the reference board's signature. */
export const HardBand = z.object({
  /** Input level at which a tone begins to clip, dB. */
  clipPointDb: z.number().positive().default(1),
  /** Largest swing of the output, dB, each half of the wave. */
  swingDb: z.number().positive().default(0.7),
  /** Difference between the halves' own clip points, dB. */
  symmetryDb: z.number().positive().default(1.5),
  /** Gain over level and over frequency, dB. */
  gainDb: z.number().positive().default(1.5),
  /** Level of a harmonic relative to the fundamental, dB. */
  harmonicDb: z.number().positive().default(6),
  /** Turn of a harmonic against the fundamental, degrees: 180 is the other sign. */
  phaseDeg: z.number().positive().max(180).default(90),
  /** Harmonics below this are not compared, dB relative to the fundamental. */
  floorDb: z.number().max(-20).default(-60),
})
export type HardBand = z.infer<typeof HardBand>

/** A state of the battery that the board is pressed hard at. */
export const HardSupply = z.object({
  name: z.string().regex(/^[a-z][a-z0-9-]*$/, 'use small letters, digits and hyphens, such as "fresh" or "flat"'),
  label: z.string().min(1),
  /** What the maker sets the supply of the rig to, V. */
  voltageV: z.number().positive().max(100),
})
export type HardSupply = z.infer<typeof HardSupply>

/** How a board is pressed hard: a second, louder sweep, and a ladder of levels at a few tones. */
export const HardPlan = z.object({
  /** The setting of the controls, as in the product. */
  setting: z.string().min(1),
  sweep: z
    .object({
      levelV: volts.optional(),
      levelDbfs: dbfs.optional(),
      durationS: z.number().min(1).max(60).default(5),
    })
    .refine(oneLevel, { message: 'give the level of the sweep once, as levelV or as levelDbfs' }),
  tonesHz: z
    .array(z.number().min(20).max(20_000))
    .min(1, 'name at least one tone')
    .max(8, 'eight tones are enough')
    .refine((f) => f.every((one, i) => i === 0 || one > f[i - 1]), {
      message: 'put the tones in rising order, each once',
    }),
  ladder: z
    .object({
      fromV: volts.optional(),
      toV: volts.optional(),
      fromDbfs: dbfs.optional(),
      toDbfs: dbfs.optional(),
      stepDb: z.number().min(0.5).max(6).default(2),
    })
    .refine(
      (l) => oneLevel({ levelV: l.fromV, levelDbfs: l.fromDbfs }) && oneLevel({ levelV: l.toV, levelDbfs: l.toDbfs }),
      { message: 'give both ends of the ladder once, as fromV and toV or as fromDbfs and toDbfs' },
    ),
  orders: z
    .array(
      z
        .number()
        .int()
        .min(2, 'the first harmonic that there is has order 2')
        .max(highestHardOrder, `orders go up to ${highestHardOrder}`),
    )
    .min(1)
    .refine((o) => o.every((one, i) => i === 0 || one > o[i - 1]), {
      message: 'put the orders in rising order, each once',
    })
    .default([2, 3, 4, 5]),
  supplies: z
    .array(HardSupply)
    .min(1, 'name at least one supply, such as a fresh battery')
    .max(4, 'four supplies are enough')
    .refine((s) => new Set(s.map((one) => one.name)).size === s.length, { message: 'give each supply its own name' }),
  /** Total harmonic distortion from which on a tone counts as clipped, per cent. */
  clipPercent: z.number().min(0.1).max(20).default(3),
  band: HardBand.prefault({}),
})
export type HardPlan = z.infer<typeof HardPlan>

/** Levels of a plan, all in both units. Full scale is a peak voltage. */
export interface HardLevels {
  fullScaleV: number
  sweepDbfs: number
  ladderDbfs: number[]
}

/** What full scale of the interface stands for at the board's input, V: the test plan tells one level in both units. */
export const planFullScaleV = (plan: { levelV: number; stimulus: { levelDbfs: number } }): number =>
  plan.levelV / 10 ** (plan.stimulus.levelDbfs / 20)

const levelOf = (what: { levelV?: number; levelDbfs?: number }, fullScaleV: number): number =>
  what.levelDbfs ?? 20 * Math.log10((what.levelV ?? fullScaleV) / fullScaleV)

/** The levels of the sweep and of every step of the ladder, rising; the last step is the upper end. */
export function hardLevels(
  plan: { levelV: number; stimulus: { levelDbfs: number } },
  hard: Pick<HardPlan, 'sweep' | 'ladder'>,
): HardLevels {
  const fullScaleV = planFullScaleV(plan)
  const { ladder, sweep } = hard
  const from = levelOf({ levelV: ladder.fromV, levelDbfs: ladder.fromDbfs }, fullScaleV)
  const to = levelOf({ levelV: ladder.toV, levelDbfs: ladder.toDbfs }, fullScaleV)
  const steps = Math.max(0, Math.round((to - from) / ladder.stepDb))
  return {
    fullScaleV,
    sweepDbfs: levelOf(sweep, fullScaleV),
    ladderDbfs: Array.from({ length: steps + 1 }, (_, i) => to - (steps - i) * ladder.stepDb),
  }
}

/** Most steps of a ladder: with them all tones together last no longer than a coffee. */
const mostSteps = 30

/** Checks what a plan alone cannot know: the settings of the product, and full scale of the interface. */
export function checkHardPlan(
  product: {
    settings: readonly { name: string }[]
    testPlan: { levelV: number; stimulus: { levelDbfs: number; rateHz: number }; hard?: HardPlan }
  },
  issue: (path: (string | number)[], message: string) => void,
): void {
  const { hard } = product.testPlan
  if (!hard) return
  const path = ['testPlan', 'hard']
  const names = product.settings.map((setting) => setting.name)
  if (!names.includes(hard.setting))
    issue([...path, 'setting'], `no setting is called "${hard.setting}"; there are: ${names.join(', ')}`)
  const { fullScaleV, sweepDbfs, ladderDbfs } = hardLevels(product.testPlan, hard)
  const most = `full scale is ${fullScaleV.toPrecision(3)} V: stay below it`
  if (sweepDbfs > 1e-9) issue([...path, 'sweep'], most)
  const top = ladderDbfs[ladderDbfs.length - 1]
  if (top > 1e-9) issue([...path, 'ladder', hard.ladder.toV === undefined ? 'toDbfs' : 'toV'], most)
  if (ladderDbfs.length < 4)
    issue([...path, 'ladder'], 'the ladder needs four steps or more: let it begin lower or end higher')
  if (ladderDbfs.length > mostSteps)
    issue([...path, 'ladder', 'stepDb'], `the ladder has more than ${mostSteps} steps: make them wider`)
  for (const [i, toneHz] of hard.tonesHz.entries())
    if (2 * toneHz > 0.45 * product.testPlan.stimulus.rateHz)
      issue([...path, 'tonesHz', i], `the second harmonic of ${toneHz} Hz does not fit the sample rate`)
}
