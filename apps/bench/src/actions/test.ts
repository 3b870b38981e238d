import { BoardwrightError, rigKindOf, type TestRun } from '@boardwright/core'
import type { RecordedTestRun, Workshop } from '@boardwright/core/workshop'
import { makeAnswers } from '../ask-line.ts'
import { type CommandContext, note, print, printJson } from '../command-context.ts'
import { exitCode } from '../exit-code.ts'
import { withWorkshop } from '../open-workshop.ts'
import type { SettingFile } from '../parse-option.ts'
import { readSweepFile } from '../read-sweep-file.ts'
import { UsageError } from '../report-error.ts'
import { chooseRig, type RigChoice } from '../rig-choice.ts'
import { askOnTerminal } from '../session/ask-on-terminal.ts'
import { runTest } from '../session/run-test.ts'
import type { SettingProgress } from '../session/setting-progress.ts'
import { channelOf, readSettingFiles, type Side } from '../setting-recordings.ts'
import { withStopSignal } from '../stop-signal.ts'
import { reasonLines, verdictWords } from '../text/verdict-words.ts'

export interface TestOptions extends Omit<RigChoice, 'rig' | 'speed'> {
  unit?: string
  next?: boolean
  setting?: SettingFile[]
  rig?: RigChoice['rig']
  sweep?: string
  product?: string
  loopBack?: Side
  yes?: boolean
  despiteContact?: boolean
}

const exitOf = { pass: exitCode.ok, fail: exitCode.fail, repeat: exitCode.repeat } as const

function refuseContradictions({ unit, next, setting, rig, sweep, loopBack, yes, despiteContact }: TestOptions) {
  if ((unit === undefined) === !next)
    throw new UsageError('Name the unit with --unit, or take the next one with --next.')
  if ((setting === undefined) === (rig === undefined))
    throw new UsageError('Give the recordings with --setting NAME=FILE, or choose a rig with --rig.')
  if (rig !== undefined && (sweep !== undefined || loopBack !== undefined))
    throw new UsageError('--sweep and --loop-back belong to recordings given with --setting, not to --rig.')
  if (rig === undefined && (yes || despiteContact)) throw new UsageError('--yes and --despite-contact belong to --rig.')
}

function serialOf(workshop: Workshop, options: TestOptions): string {
  if (options.unit !== undefined) return options.unit
  const next = workshop.nextToTest()
  if (!next) throw new BoardwrightError('not-found', 'No unit waits for its test.', { remedy: 'Name one with --unit.' })
  return next.serial
}

async function onRig(context: CommandContext, workshop: Workshop, options: TestOptions): Promise<RecordedTestRun> {
  const product = workshop.product(options.product)
  const choice = { ...options, rig: options.rig ?? 'simulated', speed: Number.POSITIVE_INFINITY }
  const { rig, label } = await chooseRig(choice, { workshop, product, inBackground: false, environment: context.env })
  note(context, `Rig: ${label}`)
  const serial = serialOf(workshop, options)
  const answers = makeAnswers(context)
  let said = ''
  const onProgress = (settings: readonly SettingProgress[]) => {
    const now = settings.find((one) => one.state === 'running')
    const line = now?.activity ? `${now.setting}: ${now.activity}` : ''
    if (line && line !== said) note(context, `  ${line}`)
    said = line || said
  }
  const { yes, despiteContact } = options
  const { recorded } = await withStopSignal((signal) =>
    runTest({
      workshop,
      rig,
      product,
      serial,
      signal,
      onProgress,
      ask: askOnTerminal({ context, answers, product, signal, yes, despiteContact }),
    }),
  ).finally(answers.close)
  return recorded
}

function fromFiles(workshop: Workshop, options: TestOptions): RecordedTestRun {
  return workshop.recordTestRun({
    serial: serialOf(workshop, options),
    productId: options.product,
    rig: 'wave-files',
    recordings: readSettingFiles(options.setting ?? []),
    sweep: options.sweep === undefined ? undefined : readSweepFile(options.sweep),
    loopBackChannel: channelOf(options.loopBack),
  })
}

/**
 * Says when the rig should be checked. Files may be of any day and rig: for them only where the rig behind them was ever
 * checked, or every test of a maker who does not do so would nag.
 */
function remindOfCheck(context: CommandContext, workshop: Workshop, { productId, rig }: TestRun): void {
  const status = workshop.rigChecks.status({ productId, rig: rigKindOf(rig) })
  const isNews = status.state === 'due' || (status.state === 'unchecked' && rig !== 'wave-files')
  if (isNews) note(context, `◆ ${status.sentence} boardwright rig-check run checks it.`)
  if (status.warning) note(context, `◆ ${status.warning}`)
}

/** `boardwright test`: judges a unit and stores the run. */
export function test(context: CommandContext, options: TestOptions) {
  refuseContradictions(options)
  return withWorkshop(context, {}, async (workshop) => {
    const recorded = options.rig ? await onRig(context, workshop, options) : fromFiles(workshop, options)
    const { run, unit, newUnit } = recorded
    remindOfCheck(context, workshop, run)
    if (context.json) {
      const { verdict, judgement, measurements } = run
      const findings = measurements.flatMap((one) =>
        one.findings.map((finding) => ({ setting: one.setting, ...finding })),
      )
      printJson(context, {
        verdict,
        serial: run.serial,
        state: unit.state,
        newUnit,
        runId: run.id,
        referenceVersion: run.referenceVersion,
        rigSettings: run.rigSettings,
        reasons: judgement.reasons,
        findings,
        judgement,
      })
    } else {
      print(
        context,
        `${verdictWords[run.verdict]}  ${run.serial}${newUnit ? ' (a new unit)' : ''} is now ${unit.state}.`,
      )
      for (const line of reasonLines({ verdict: run.verdict, reasons: run.judgement.reasons })) print(context, line)
    }
    return exitOf[run.verdict]
  })
}
