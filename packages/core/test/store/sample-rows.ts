import plover from '../../../../shared/products/plover.json' with { type: 'json' }
import { Product } from '../../src/model/product.ts'
import type { Reference } from '../../src/model/reference.ts'
import type { ResponseCurve } from '../../src/model/response-curve.ts'
import { SweepSettings } from '../../src/model/sweep.ts'
import type { SettingMeasurement, TestRun } from '../../src/model/test-run.ts'
import type { Unit } from '../../src/model/unit.ts'
import type { Verdict } from '../../src/model/verdict.ts'
import type { StoredImpulseResponse } from '../../src/workshop/ports.ts'

// Rows for the tests of the store alone: right in form, their numbers drawn at random and of no meaning.

export const at = '2026-03-04T09:00:00.000Z'
export const product = Product.parse(plover)

/** Numbers that are hard to keep exactly when they pass through text or 32 bits. */
const awkward = [1 / 3, -0, 5e-324, 1.7976931348623157e308, Math.PI * 1e-7, 0.1 + 0.2]
const numbers = (seed: number, count = 240): number[] =>
  Array.from({ length: count }, (_, i) => awkward[(i + seed) % awkward.length] * (i % 7 === 3 ? -1 : 1))

const curve = (seed: number): ResponseCurve => ({
  frequencyHz: Array.from({ length: 240 }, (_, i) => 20 * 1000 ** (i / 239)),
  gainDb: numbers(seed),
  phaseDeg: numbers(seed + 1),
  uncertaintyDb: numbers(seed + 2).map(Math.abs),
})

export const unit = (serial: string, changes: Partial<Unit> = {}): Unit => ({
  serial,
  productId: product.id,
  revision: product.revision,
  state: 'untested',
  createdAt: at,
  updatedAt: at,
  lastRunId: null,
  ...changes,
})

export const reference = (version: number): Reference => ({
  productId: product.id,
  revision: product.revision,
  version,
  createdAt: at,
  station: 'bench',
  note: 'after new pogo pins',
  sweep: SweepSettings.parse({}),
  rigSettings: null,

  settings: ['max', 'min'].map((setting, i) => ({
    setting,
    runs: 4,
    polarity: i === 0 ? 1 : -1,
    curve: curve(version + i),
    repeatabilityDb: numbers(version).map(Math.abs),
    gainAt1kHzDb: 1 / 3,
  })),
})

const measurement = (setting: string, seed: number): SettingMeasurement => ({
  setting,
  usable: seed % 2 === 0,
  findings: [
    { code: 'mains-hum', severity: 'note', message: 'Hum at 50 Hz.', remedy: 'Move the transformer.', atS: 0.5 },
  ],
  origin: `PLV-0001-${setting}.wav`,
  rateHz: 48_000,
  delayS: 1 / 48_000,
  polarity: seed % 2 === 0 ? 1 : -1,
  gainAt1kHzDb: 0.1 + 0.2,
  curve: seed % 3 === 2 ? null : curve(seed),
  distortion: { frequencyHz: [100, 1000], thdPercent: [0.01, 1 / 3], orders: { '2': [-80.5, null], '3': [-90, -91] } },
  noise: { unweightedDbfs: -80, aWeightedDbfs: -85.25, signalToNoiseDb: 60 },
})

export const testRun = (id: string, serial: string, verdict: Verdict, seed = 0): TestRun => ({
  id,
  serial,
  productId: product.id,
  revision: product.revision,
  startedAt: at,
  station: 'bench',
  rig: 'simulated',
  rigSettings: null,
  rigUncertainty: null,
  sweep: SweepSettings.parse({}),
  referenceVersion: 1,
  planHash: '0123456789abcdef',
  verdict,
  judgement: {
    verdict,
    reasons: [{ code: 'passed', verdict, message: `Run ${id} says ${verdict}.` }],
    settings: [],
  },
  measurements: [measurement('max', seed), measurement('min', seed + 1)],
})

export const impulseResponses = (seed: number, samples = 4000): StoredImpulseResponse[] =>
  ['max', 'min'].map((setting, i) => ({
    setting,
    makesCurve: i === 0,
    rateHz: 48_000,
    zeroIndex: 512.25,
    samples: Float64Array.from(numbers(seed + i, samples), Math.fround),
    noise: Float64Array.from(numbers(seed, 241)),
  }))
