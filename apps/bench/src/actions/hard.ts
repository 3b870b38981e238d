import { resolve } from 'node:path'
import { BoardwrightError, formatVoltage, type HardPlan, type Product } from '@boardwright/core'
import { writeWaveFile } from '@boardwright/core/audio'
import type { Workshop } from '@boardwright/core/workshop'
import { type CommandContext, print, printJson } from '../command-context.ts'
import { exitCode } from '../exit-code.ts'
import { makeFolder, withWorkshop } from '../open-workshop.ts'
import { UsageError } from '../report-error.ts'
import type { RigChoice } from '../rig-choice.ts'
import { pressOnTerminal } from '../session/press-on-terminal.ts'
import { hardRunLines } from '../text/hard-words.ts'
import { verdictWords } from '../text/verdict-words.ts'

export interface HardOptions extends Omit<RigChoice, 'speed'> {
  unit?: string
  reference?: boolean
  takes: number
  show?: boolean
  stimuli?: string
  yes?: boolean
  product?: string
  note?: string
}

const exitOf = { pass: exitCode.ok, fail: exitCode.fail, repeat: exitCode.repeat } as const

function refuseContradictions({ unit, reference, show, stimuli }: HardOptions) {
  const told = [unit !== undefined, reference, stimuli !== undefined].filter(Boolean).length
  if (told !== 1) throw new UsageError('Name the unit with --unit, or say --reference or --stimuli FOLDER.')
  if (show && stimuli !== undefined) throw new UsageError('--show belongs to --unit or --reference.')
}

function planOf(product: Product): HardPlan {
  const { hard } = product.testPlan
  if (hard) return hard
  throw new BoardwrightError(
    'no-hard-plan',
    `The test plan of ${product.name} does not say how a board is pressed hard.`,
  )
}

/** `boardwright hard`: presses a unit or the reference board, or shows what is stored. */
export function hard(context: CommandContext, options: HardOptions) {
  refuseContradictions(options)
  return withWorkshop(context, {}, async (workshop) => {
    if (options.stimuli !== undefined) return writeStimuli(context, workshop, options.stimuli, options.product)
    if (options.reference) return ofReference(context, workshop, options)
    return ofUnit(context, workshop, { ...options, unit: options.unit! })
  })
}

async function ofUnit(context: CommandContext, workshop: Workshop, options: HardOptions & { unit: string }) {
  const { unit } = workshop.unit(options.unit)
  const { run, state } = options.show ? lastRun(workshop, unit.serial) : await pressUnit(context, workshop, options)
  if (context.json) {
    printJson(context, { state, ...run })
    return exitOf[run.verdict]
  }
  print(context, `${verdictWords[run.verdict]}  ${run.serial} pressed hard; it is ${state}.`)
  for (const line of hardRunLines(run)) print(context, line)
  return exitOf[run.verdict]
}

function lastRun(workshop: Workshop, serial: string) {
  const [last] = workshop.hard.ofUnit(serial)
  if (!last) throw new BoardwrightError('not-found', `Unit ${serial} has not been pressed hard yet.`)
  return { run: workshop.hard.run(last.id).run, state: workshop.unit(serial).unit.state }
}

async function pressUnit(context: CommandContext, workshop: Workshop, options: HardOptions & { unit: string }) {
  const { unit } = workshop.unit(options.unit)
  const product = workshop.product(unit.productId, unit.revision)
  const plan = planOf(product)
  // Said before the board is pressed for a minute, not after.
  if (!workshop.hard.currentReference(product.id))
    throw new BoardwrightError(
      'no-hard-reference',
      `The reference board of ${product.name} has not been pressed hard yet.`,
    )
  const { takes, rig } = await pressOnTerminal(context, workshop, {
    ...options,
    product,
    plan,
    serial: unit.serial,
    takes: 1,
  })
  const [recordings] = takes
  const recorded = workshop.hard.record({ serial: unit.serial, rig: rig.kind, rigSettings: rig.settings, recordings })
  return { run: recorded.run, state: recorded.unit.state }
}

async function ofReference(context: CommandContext, workshop: Workshop, options: HardOptions) {
  const product = workshop.product(options.product)
  const plan = planOf(product)
  const reference = options.show ? workshop.hard.currentReference(product.id) : await pressReference()
  if (!reference)
    throw new BoardwrightError(
      'no-hard-reference',
      `The reference board of ${product.name} has not been pressed hard yet.`,
    )
  if (context.json) printJson(context, reference)
  else {
    const takes = `${reference.takes.length} ${reference.takes.length === 1 ? 'take' : 'takes'}`
    print(context, `Signature ${reference.version} of the reference board of ${product.name}, ${takes}.`)
    for (const { label, voltageV } of plan.supplies) print(context, `  ${label}, ${formatVoltage(voltageV)}`)
  }
  return exitCode.ok

  async function pressReference() {
    const { takes, rig } = await pressOnTerminal(context, workshop, { ...options, product, plan, serial: 'REFERENCE' })
    return workshop.hard.addReference({ productId: product.id, takes, rigSettings: rig.settings, note: options.note })
  }
}

function writeStimuli(context: CommandContext, workshop: Workshop, folder: string, productId?: string) {
  const product = workshop.product(productId)
  planOf(product)
  const stimuli = workshop.hard.stimuli({ productId: product.id })
  makeFolder(resolve(folder, 'any'))
  const files = (['sweep', 'ladder'] as const).map((part) => {
    const { samples, rateHz } = stimuli[part]
    const path = resolve(folder, `${product.id}-hard-${part}.wav`)
    writeWaveFile(path, { rateHz, channels: [samples], format: 'pcm24' })
    return { part, path, durationS: samples.length / rateHz }
  })
  if (context.json) printJson(context, { files })
  else for (const { path, durationS } of files) print(context, `${path}  ${durationS.toFixed(1)} s`)
  return exitCode.ok
}
