import {
  type DiagnosisFigures,
  type Evidence,
  formatCurrent,
  formatProbability,
  formatVoltage,
  formatWhen,
  type RunDiagnosis,
} from '@boardwright/core'
import type { DiagnoseRun } from '@boardwright/core/workshop'
import { type CommandContext, print, printJson } from '../command-context.ts'
import { exitCode } from '../exit-code.ts'
import { withWorkshop } from '../open-workshop.ts'
import type { NodeFile, NodeValue, SettingFile } from '../parse-option.ts'
import { readSweepFile } from '../read-sweep-file.ts'
import { UsageError } from '../report-error.ts'
import { readSettingFiles } from '../setting-recordings.ts'
import { checkLines, suspectLines } from '../text/diagnosis-words.ts'

export interface DiagnoseOptions {
  unit?: string
  run?: string
  supplyCurrent?: string
  volts?: NodeValue[]
  setting?: SettingFile[]
  probe?: NodeFile[]
  sweep?: string
  partOk?: string[]
  partBad?: string[]
  afresh?: boolean
  figures?: boolean
}

/** `boardwright diagnose`: suspects of a failed unit; `--figures`: how often the suspects were right. */
export function diagnose(context: CommandContext, options: DiagnoseOptions) {
  if (options.figures) return showFigures(context, options)
  if (options.unit === undefined && options.run === undefined)
    throw new UsageError('Name the unit with --unit, or the test run with --run.')
  return withWorkshop(context, {}, async (workshop) => {
    const made = await workshop.diagnoseRun(await questionOf(options))
    if (context.json) printJson(context, made)
    else printDiagnosis(context, made)
    return exitCode.ok
  })
}

/** Values are read with their units, which brings the unit library: only when there are some. */
async function questionOf(options: DiagnoseOptions): Promise<DiagnoseRun> {
  const { parseQuantity } = await import('@boardwright/core/circuit')
  const { supplyCurrent, volts = [], setting = [], probe = [] } = options
  const probes = probe.map(({ node, ...file }) => ({ ...readSettingFiles([file])[0], node }))
  return {
    ...(options.run === undefined ? {} : { runId: options.run }),
    ...(options.unit === undefined ? {} : { serial: options.unit }),
    ...(supplyCurrent === undefined ? {} : { supplyCurrentA: parseQuantity(supplyCurrent, 'current') }),
    nodeVoltagesV: Object.fromEntries(volts.map(({ node, value }) => [node, parseQuantity(value, 'voltage')])),
    recordings: [...readSettingFiles(setting), ...probes],
    ...(options.sweep === undefined ? {} : { sweep: readSweepFile(options.sweep) }),
    soundParts: options.partOk ?? [],
    faultyParts: options.partBad ?? [],
    afresh: options.afresh ?? false,
  }
}

function printDiagnosis(context: CommandContext, { serial, runId, at, evidence, diagnosis }: RunDiagnosis) {
  print(context, `${serial}, test run ${runId}, diagnosed ${formatWhen(at)}`)
  const told = evidenceWords(evidence)
  if (told) print(context, `Also known: ${told}.`)
  print(context, diagnosis.words)
  diagnosis.suspects.forEach((suspect, i) => {
    for (const line of suspectLines(suspect, i + 1)) print(context, line)
  })
  const { noneProbability, healthyProbability } = diagnosis
  print(context, `    ${formatProbability(noneProbability).padStart(6)}  none of these`)
  if (healthyProbability >= 0.01)
    print(context, `    ${formatProbability(healthyProbability).padStart(6)}  nothing that these curves can show`)
  if (diagnosis.nextChecks.length > 0) print(context, 'Best checks next:')
  for (const check of diagnosis.nextChecks) for (const line of checkLines(check)) print(context, line)
}

function evidenceWords({ supplyCurrentA, nodeVoltagesV, sweeps, soundParts, faultyParts }: Evidence): string {
  const parts = [
    ...(supplyCurrentA === null ? [] : [`supply current ${formatCurrent(supplyCurrentA)}`]),
    ...Object.entries(nodeVoltagesV).map(([node, volts]) => `${formatVoltage(volts)} at ${node}`),
    ...sweeps.map(
      ({ node, measurement }) => `sweep at ${measurement.setting}${node === null ? '' : `, probe on ${node}`}`,
    ),
    ...soundParts.map((part) => `${part} is as drawn`),
    ...faultyParts.map((part) => `${part} is wrong`),
  ]
  return parts.join('; ')
}

function showFigures(context: CommandContext, { unit, run }: DiagnoseOptions) {
  if (unit !== undefined || run !== undefined)
    throw new UsageError('--figures is about all units: leave out --unit and --run.')
  return withWorkshop(context, {}, (workshop) => {
    const figures = workshop.diagnosisFigures()
    if (context.json) printJson(context, figures)
    else printFigures(context, figures)
    return exitCode.ok
  })
}

/** A share that was counted: unlike a probability it may be all or none. */
const shareWords = (share: number): string => `${Math.round(1000 * share) / 10} %`

function printFigures(
  context: CommandContext,
  { first, firstThree, confidence, waiting, undecided }: DiagnosisFigures,
) {
  const share = ({ hits, cases, rate, lower, upper }: DiagnosisFigures['first']) =>
    rate === null
      ? 'no case yet'
      : `${shareWords(rate)} (${hits} of ${cases}; with ${shareWords(confidence)} confidence ${shareWords(lower)} to ${shareWords(upper)})`
  print(context, `First suspect right: ${share(first)}`)
  print(context, `One of the first three right: ${share(firstThree)}`)
  print(context, `Reworked and waiting for their test: ${waiting}; tested without deciding: ${undecided}`)
}
