import { existsSync } from 'node:fs'
import {
  BoardwrightError,
  formatDb,
  formatHz,
  formatRate,
  makeSweep,
  type Product,
  type SampleFormat,
  SweepSettings,
  sweepMetadata,
} from '@boardwright/core'
import { writeWaveFile } from '@boardwright/core/audio'
import { type CommandContext, note, print, printJson } from '../command-context.ts'
import { exitCode } from '../exit-code.ts'
import { openWorkshop } from '../open-workshop.ts'
import { loadPlover } from '../plover.ts'
import { workshopPath } from '../workshop-path.ts'

export interface SweepOptions {
  out: string
  product?: string
  rate?: number
  seconds?: number
  from?: number
  to?: number
  level?: number
  repeats?: number
  format: SampleFormat
}

const optionOf: Record<string, string> = {
  rateHz: '--rate',
  durationS: '--seconds',
  fromHz: '--from',
  toHz: '--to',
  levelDbfs: '--level',
  repeats: '--repeats',
}

/**
 * The product whose stimulus is meant. Before there is a workshop it is the one that a new workshop begins with: who makes
 * the sweep first and the workshop after it would else play another stimulus than the one it is measured against.
 */
function productOf(context: CommandContext, productId?: string): Product {
  if (productId === undefined && !existsSync(workshopPath(context))) return loadPlover()
  const workshop = openWorkshop(context)
  try {
    return workshop.product(productId)
  } finally {
    workshop.close()
  }
}

function settingsFrom(options: SweepOptions, base: SweepSettings): SweepSettings {
  const given = {
    rateHz: options.rate,
    durationS: options.seconds,
    fromHz: options.from,
    toHz: options.to,
    levelDbfs: options.level,
    repeats: options.repeats,
  }
  const chosen = Object.fromEntries(Object.entries(given).filter(([, value]) => value !== undefined))
  const parsed = SweepSettings.safeParse({ ...base, ...chosen })
  if (parsed.success) return parsed.data
  const issue = parsed.error.issues[0]
  throw new BoardwrightError('bad-argument', `${optionOf[String(issue.path[0])] ?? issue.path[0]}: ${issue.message}.`)
}

/** `boardwright sweep`: writes the stimulus. */
export function sweep(context: CommandContext, options: SweepOptions) {
  const product = productOf(context, options.product)
  const from = `the test plan of ${product.name} ${product.revision}`
  const settings = settingsFrom(options, product.testPlan.stimulus)
  const signal = makeSweep(settings)
  const { bytes } = writeWaveFile(options.out, {
    rateHz: settings.rateHz,
    channels: [signal.samples],
    format: options.format,
    metadata: sweepMetadata(settings),
  })
  const seconds = signal.samples.length / settings.rateHz
  if (context.json)
    printJson(context, { path: options.out, bytes, seconds, format: options.format, settings, defaultsFrom: from })
  else
    print(
      context,
      `${options.out}: ${formatHz(settings.fromHz)} to ${formatHz(settings.toHz)} in ${settings.durationS} s` +
        `${settings.repeats > 1 ? `, ${settings.repeats} times` : ''}, ${formatDb(settings.levelDbfs, { unit: 'dBFS' })} peak, ` +
        `${formatRate(settings.rateHz)} ${options.format}, ${seconds.toFixed(1)} s in all (what you did not give is from ${from}).`,
    )
  note(context, 'Caution: a sweep can be loud. Take headphones off and turn loudspeakers down before you play it.')
  return exitCode.ok
}
