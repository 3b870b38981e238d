import type { NextCheck } from '../model/diagnosis.ts'
import type { Product } from '../model/product.ts'
import { directCurrent, directVoltage, restingPointOf } from './direct-evidence.ts'
import type { EvidenceCase } from './evidence-case.ts'
import { stateOf } from './linearise.ts'
import { nodeWords } from './node-words.ts'
import { valuedParts } from './parts.ts'
import type { Weighed } from './posterior.ts'
import type { Tap } from './predict.ts'
import { predictNodes } from './predict-nodes.ts'

/** A check that could be made. */
export type CheckPlan = Pick<NextCheck, 'kind' | 'setting' | 'node' | 'designator' | 'words'>

/** What each hypothesis would make a check show, and how sure that is: noise of each number, and an error all share. */
export type Outcomes = {
  means: Float64Array[]
  whiteSigma: Float64Array
  commonSigma: number
  frequencyHz?: readonly number[]
}

/** A number that depends on where a check is made. */
export type CheckPlace = (tap: Pick<Tap, 'positions' | 'node'>) => number

export type PlannedCheck = { plan: CheckPlan; outcomes: Outcomes }

const checkHz = [25, 50, 100, 250, 630, 1600, 4000, 8000, 16000] as const
const checkOmega = Float64Array.from(checkHz, (f) => 2 * Math.PI * f)

/** How well a curve is foretold once the parts have been fitted, dB; an estimate. */
const curveSigmaDb = 0.25
const levelSigmaDb = 0.2
const inDb = (re: Float64Array, im: Float64Array, lowestDb: number): Float64Array =>
  re.map((x, k) => 10 * Math.log10(x * x + im[k] * im[k] + 10 ** (lowestDb / 10)))

/**
 * All checks that could be made next, with what each hypothesis foretells: settings not measured yet, a probe at a node, a
 * direct voltage at a node, the supply current, and a part measured by itself.
 *
 * @param options `setting`: the one at which probe and meter are used
 */
export const plannedChecks = (options: {
  product: Product
  one: EvidenceCase
  weighed: readonly Weighed[]
  measuredSettings: readonly string[]
  setting: string
  probed: readonly string[]
  metered: readonly string[]
  currentKnown: boolean
  soundParts: readonly string[]
  /** Response below which nothing is read, dB re 1. */
  lowestDb: CheckPlace
}): PlannedCheck[] => [
  ...settingChecks(options),
  ...nodeChecks(options),
  ...currentCheck(options),
  ...partChecks(options),
]

type Options = Parameters<typeof plannedChecks>[0]

const flat = (weighed: readonly Weighed[], sigma: number) => new Float64Array(weighed.length).fill(sigma)

const settingChecks = ({ product, one, weighed, measuredSettings, lowestDb }: Options): PlannedCheck[] =>
  product.settings
    .filter((s) => !measuredSettings.includes(s.name))
    .map(({ name, label, positions }) => {
      const tap = { positions, node: null, omega: checkOmega }
      const lowest = lowestDb(tap)
      return {
        plan: { kind: 'setting', setting: name, node: null, designator: null, words: `run once more at "${label}"` },
        outcomes: {
          means: weighed.map((w) => {
            const { re, im } = predictNodes(w.prepared, stateOf(one, w.fit.z), tap).output
            return inDb(re, im, lowest)
          }),
          whiteSigma: flat(weighed, curveSigmaDb),
          commonSigma: levelSigmaDb,
          frequencyHz: checkHz,
        },
      }
    })

const nodeChecks = (options: Options): PlannedCheck[] => {
  const { product, one, weighed, setting, probed, metered, lowestDb } = options
  const chosen = product.settings.find((s) => s.name === setting) ?? product.settings[0]
  const tap = { positions: chosen.positions, node: null, omega: checkOmega }
  const curves = weighed.map((w) => predictNodes(w.prepared, stateOf(one, w.fit.z), tap).byNode)
  const { circuit } = product
  const nodes = [...new Set(curves.flatMap((c) => [...c.keys()]))].filter(
    (n) => circuit.elements.some((e) => (e.nodes as readonly string[]).includes(n)) && n !== circuit.ground,
  )
  const checks: PlannedCheck[] = []
  for (const node of nodes) {
    const where = nodeWords(circuit, node)
    const lowest = lowestDb({ ...tap, node })
    const means = curves
      .map((c) => c.get(node))
      .map((p) => (p ? inDb(p.re, p.im, lowest) : new Float64Array(checkHz.length)))
    if (!probed.includes(node) && node !== circuit.output)
      checks.push({
        plan: {
          kind: 'probe',
          setting: chosen.name,
          node,
          designator: null,
          words: `put the probe on ${where} and run "${chosen.label}" again`,
        },
        outcomes: {
          means,
          whiteSigma: flat(weighed, curveSigmaDb),
          commonSigma: levelSigmaDb,
          frequencyHz: checkHz,
        },
      })
    if (metered.includes(node) || !weighed[0].prepared.restKnown) continue
    const volts = weighed.map((w) => directVoltage(restingPointOf(w.prepared, chosen.positions), node))
    checks.push({
      plan: {
        kind: 'voltage',
        setting: chosen.name,
        node,
        designator: null,
        words: `measure the direct voltage from ${where} to ground, with no signal`,
      },
      outcomes: {
        means: volts.map((v) => Float64Array.of(v)),
        whiteSigma: Float64Array.from(volts, (v) => 0.06 + 0.04 * Math.abs(v)),
        commonSigma: 0,
      },
    })
  }
  return checks
}

const currentCheck = ({ product, weighed, setting, currentKnown }: Options): PlannedCheck[] => {
  if (currentKnown || !weighed[0].prepared.restKnown) return []
  const chosen = product.settings.find((s) => s.name === setting) ?? product.settings[0]
  const amps = weighed.map((w) => directCurrent(restingPointOf(w.prepared, chosen.positions)))
  return [
    {
      plan: {
        kind: 'supply-current',
        setting: chosen.name,
        node: null,
        designator: null,
        words: 'measure the current that the board draws from its supply, with no signal',
      },
      outcomes: {
        means: amps.map((a) => Float64Array.of(a)),
        whiteSigma: Float64Array.from(amps, (a) => 5e-5 + 0.15 * Math.abs(a)),
        commonSigma: 0,
      },
    },
  ]
}

/** The surest check and the most work: lift a leg and measure the part itself. */
const partChecks = ({ product, weighed, soundParts }: Options): PlannedCheck[] => {
  const candidates = new Set(weighed.slice(0, 12).flatMap((w) => w.prepared.hypothesis.designators))
  return valuedParts(product.circuit)
    .filter((p) => candidates.has(p.designator) && !soundParts.includes(p.designator))
    .map(({ designator }) => ({
      plan: {
        kind: 'part',
        setting: null,
        node: null,
        designator,
        words: `take ${designator} out (or lift one leg), measure it by itself, and solder it in again`,
      },
      outcomes: {
        means: weighed.map((w) => Float64Array.of(w.prepared.hypothesis.designators.includes(designator) ? 1 : 0)),
        whiteSigma: flat(weighed, 0.15),
        commonSigma: 0,
      },
    }))
}
