import { type Reference, type SettingMeasurement, SweepSettings, TestPlan } from '@boardwright/core'

/** A rising grid of 1/24 octave from 20 Hz to 20 kHz. */
const gridHz = Array.from({ length: 240 }, (_, i) => 20 * 2 ** (i / 24)).concat(20_000)

export type Shape = (frequencyHz: number) => number

/** First-order shelf: `bassDb` far below 300 Hz, `trebleDb` far above 2 kHz, 0 dB between. */
const shelf =
  (bassDb: number, trebleDb: number): Shape =>
  (f) =>
    bassDb / (1 + (f / 300) ** 2) + trebleDb / (1 + (2000 / f) ** 2)

export function measurementOf(options: {
  setting: string
  shape: Shape
  uncertaintyDb?: number
  frequencyHz?: number[]
  change?: Partial<SettingMeasurement>
}): SettingMeasurement {
  const frequencyHz = options.frequencyHz ?? gridHz
  return {
    setting: options.setting,
    usable: true,
    findings: [],
    origin: `${options.setting}.wav`,
    rateHz: 48_000,
    delayS: 0.001,
    polarity: 1,
    gainAt1kHzDb: options.shape(1000),
    curve: {
      frequencyHz: [...frequencyHz],
      gainDb: frequencyHz.map(options.shape),
      phaseDeg: frequencyHz.map(() => 0),
      uncertaintyDb: frequencyHz.map(() => options.uncertaintyDb ?? 0.02),
    },
    distortion: { frequencyHz: [100, 1000, 5000], thdPercent: [0.02, 0.05, 0.03], orders: {} },
    noise: { unweightedDbfs: -85, aWeightedDbfs: -90, signalToNoiseDb: 75 },
    ...options.change,
  }
}

export function planOf(change: Partial<Parameters<typeof TestPlan.parse>[0] & object> = {}): TestPlan {
  const breakpoints = [
    { frequencyHz: 20, upperDb: 1.5, lowerDb: -1.5 },
    { frequencyHz: 20_000, upperDb: 1.5, lowerDb: -1.5 },
  ]
  return TestPlan.parse({
    stimulus: {},
    levelV: 0.2,
    settings: ['max', 'min'],
    bands: [
      { setting: 'max', breakpoints },
      { setting: 'min', breakpoints },
    ],
    gainToleranceDb: 2,
    ...change,
  })
}

export function referenceOf(shapes: Record<string, Shape>, uncertaintyDb = 0.02): Reference {
  return {
    productId: 'plover',
    revision: 'B',
    version: 3,
    createdAt: '2026-01-05T10:00:00Z',
    station: 'bench',
    note: '',
    sweep: SweepSettings.parse({}),
    rigSettings: null,
    settings: Object.entries(shapes).map(([setting, shape]) => ({
      setting,
      runs: 3,
      polarity: 1,
      curve: {
        frequencyHz: [...gridHz],
        gainDb: gridHz.map(shape),
        phaseDeg: gridHz.map(() => 0),
        uncertaintyDb: gridHz.map(() => uncertaintyDb),
      },
      repeatabilityDb: gridHz.map(() => uncertaintyDb),
      gainAt1kHzDb: shape(1000),
    })),
  }
}

export const maxShape = shelf(12, 12)
export const minShape = shelf(-12, -12)
export const flatShape: Shape = () => 0

/** The reference of a symmetrical control, and a run whose curves are off by the given shapes. */
export const referenceBoard = () => referenceOf({ max: maxShape, min: minShape, centre: flatShape })
export const runOff = (off: { max?: Shape; min?: Shape }, uncertaintyDb = 0.02): SettingMeasurement[] => [
  measurementOf({ setting: 'max', shape: (f) => maxShape(f) + (off.max?.(f) ?? 0), uncertaintyDb }),
  measurementOf({ setting: 'min', shape: (f) => minShape(f) + (off.min?.(f) ?? 0), uncertaintyDb }),
]
