import { hasCurve, isSilent, isTooLoud } from '../diagnosis/heard.ts'
import { BoardwrightError } from '../model/error.ts'
import type { Product } from '../model/product.ts'
import type { RigSettings } from '../model/rig.ts'
import type { Evidence, FurtherSweep } from '../model/run-diagnosis.ts'
import { refuseUnknownNode, refuseUnknownPart } from './board-parts.ts'
import { measureSetting } from './measure-setting.ts'
import type { DiagnoseRun, FurtherRecording } from './workshop.ts'

/**
 * Adds what a maker has measured by now to what was known. A newer reading takes the place of an older one: at the same
 * node, of the same part, of the same setting.
 * @param what.through the rig that the run was measured through: further sweeps come through it too
 * Errors: bad-argument, part-unknown, recording-refused, setting-unknown, sweep-mismatch.
 */
export function collectEvidence(
  product: Product,
  known: Evidence,
  what: DiagnoseRun & { through?: RigSettings },
): Evidence {
  const added = (what.recordings ?? []).map((recording) => measureFurther(product, recording, what))
  const kept = known.sweeps.filter((old) => !added.some((one) => isSameSweep(one, old)))
  return {
    supplyCurrentA: checkCurrent(what.supplyCurrentA) ?? known.supplyCurrentA,
    nodeVoltagesV: { ...known.nodeVoltagesV, ...checkVoltages(product, what.nodeVoltagesV ?? {}) },
    sweeps: [...kept, ...added],
    ...collectParts(product, known, what),
  }
}

const isSameSweep = (one: FurtherSweep, other: FurtherSweep): boolean =>
  one.node === other.node && one.measurement.setting === other.measurement.setting

function checkCurrent(supplyCurrentA: number | undefined): number | undefined {
  if (supplyCurrentA !== undefined && !(supplyCurrentA >= 0 && supplyCurrentA <= 10))
    throw new BoardwrightError('bad-argument', 'The supply current must lie between 0 and 10 A.')
  return supplyCurrentA
}

function checkVoltages(product: Product, nodeVoltagesV: Readonly<Record<string, number>>) {
  for (const [node, volts] of Object.entries(nodeVoltagesV)) {
    refuseUnknownNode(product, node)
    if (!(Math.abs(volts) <= 1000))
      throw new BoardwrightError('bad-argument', `The voltage at "${node}" must lie between -1000 and 1000 V.`)
  }
  return nodeVoltagesV
}

function collectParts(product: Product, known: Evidence, what: DiagnoseRun) {
  const sound = (what.soundParts ?? []).map((part) => part.trim().toUpperCase())
  const faulty = (what.faultyParts ?? []).map((part) => part.trim().toUpperCase())
  for (const part of [...sound, ...faulty]) refuseUnknownPart(product, part)
  const both = sound.find((part) => faulty.includes(part))
  if (both) throw new BoardwrightError('bad-argument', `${both} cannot be both sound and wrong.`)
  const join = (old: string[], added: string[], taken: string[]) => [
    ...new Set([...old.filter((part) => !taken.includes(part)), ...added]),
  ]
  return { soundParts: join(known.soundParts, sound, faulty), faultyParts: join(known.faultyParts, faulty, sound) }
}

function measureFurther(
  product: Product,
  { node, ...recording }: FurtherRecording,
  { sweep, through }: Pick<DiagnoseRun, 'sweep'> & { through?: RigSettings },
): FurtherSweep {
  const { setting, origin } = recording
  if (!product.settings.some(({ name }) => name === setting))
    throw new BoardwrightError('setting-unknown', `${product.name} has no setting "${setting}".`)
  if (node !== undefined) refuseUnknownNode(product, node)
  const { measurement } = measureSetting({ recording, plan: product.testPlan, sweep, through })
  // Silence at a node, and a board too quiet for the judge, tell where the signal is lost. But an interface that is open
  // always hisses: nothing but zeros come from a cable or a channel, not from a board.
  const hisses = recording.audio.channels.some((samples) => samples.some((sample) => sample !== 0))
  if (hasCurve(measurement) || isTooLoud(measurement) || (hisses && isSilent(measurement)))
    return { node: node ?? null, measurement }
  const refused = measurement.findings.find((finding) => finding.severity === 'refuse')
  throw new BoardwrightError('recording-refused', `${origin}: ${refused?.message ?? 'it has no response curve.'}`)
}
