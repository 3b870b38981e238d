import { learnHealthyModel } from '../circuit/healthy-model.ts'
import { prepareCircuit } from '../circuit/prepare-circuit.ts'
import { learnReferenceModel, type ReferenceModel } from '../circuit/reference-model.ts'
import { toleranceGridHz } from '../circuit/tolerance-cloud.ts'
import type { Circuit } from '../model/circuit.ts'
import type { Product } from '../model/product.ts'

/** Least standard uncertainty that is counted with, dB: no twin is nearer than that to a real board and a real rig. */
const leastUncertaintyDb = 0.05

const models = new WeakMap<Circuit, Map<string, ReferenceModel>>()

/**
 * What healthy boards of a product look like at the settings of its test plan, against a reference that is a board like
 * any other. Learnt once for a product, which takes some tenths of a second: `measureAhead` sees to it while the rig works.
 * Always the same for the same product, for its random numbers have a fixed seed: the verdict can be computed again.
 * Errors: bad-circuit, bad-quantity.
 */
export function healthyBoards({ circuit, settings, testPlan }: Product): ReferenceModel {
  const { bands, rigUncertaintyDb, gainToleranceDb } = testPlan
  const judged = bands.filter((band) => testPlan.settings.includes(band.setting))
  const wanted = testPlan.settings.flatMap((name) => settings.filter((setting) => setting.name === name))
  // Where a band leaves the level out, the shape must not judge it either.
  const isAligned = judged.some((band) => band.compare === 'aligned')
  const options = {
    settings: wanted,
    frequencyHz: judgedFrequencies(judged.map((band) => band.breakpoints)),
    measurementDb: Math.max(leastUncertaintyDb, rigUncertaintyDb),
    levelDb: isAligned ? gainToleranceDb : leastUncertaintyDb,
    contactDb: isAligned ? gainToleranceDb : rigUncertaintyDb,
  }
  const kept = models.get(circuit) ?? new Map<string, ReferenceModel>()
  models.set(circuit, kept)
  const key = JSON.stringify(options)
  const found = kept.get(key)
  if (found) return found
  const netlist = prepareCircuit(circuit)
  const blind = learnHealthyModel({ ...options, netlist, against: 'another-board' })
  const made = learnReferenceModel({ ...options, netlist }, blind)
  kept.set(key, made)
  return made
}

/** The tolerance grid as far as every band goes: what lies beyond, nothing is promised of. */
function judgedFrequencies(bands: readonly Product['testPlan']['bands'][number]['breakpoints'][]): number[] {
  const from = Math.max(...bands.map((points) => points[0].frequencyHz))
  const to = Math.min(...bands.map((points) => points[points.length - 1].frequencyHz))
  return Array.from(toleranceGridHz).filter((hz) => hz >= from && hz <= to)
}
