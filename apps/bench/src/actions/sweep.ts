import { existsSync } from 'node:fs'
import {
  BoardwrightError,
  formatDb,
  formatHz,
  formatRate,
  makeSweep,
  type SampleFormat,
  SweepSettings,
  sweepMetadata,
} from '@boardwright/core'
import { writeWaveFile } from '@boardwright/core/audio'
import { type CommandContext, note, print, printJson } from '../command-context.ts'
import { exitCode } from '../exit-code.ts'
import { openWorkshop } from '../open-workshop.ts'
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

/** The stimulus of the test plan, where there is a workshop; else the program's own defaults. */
function defaults(context: CommandContext, productId?: string): { settings: Partial<SweepSettings>; from: string } {
  const path = workshopPath(context)
  if (!existsSync(path) && productId === undefined) return { settings: {}, from: 'the defaults' }
  const workshop = openWorkshop(context)
  try {
    const product = workshop.product(productId)
    return { settings: product.testPlan.stimulus, from: `the test plan of ${product.name} ${product.revision}` }
  } finally {
    workshop.close()
  }
}

function settingsFrom(options: SweepOptions, base: Partial<SweepSettings>): SweepSettings {
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
  const { settings: base, from } = defaults(context, options.product)
  const settings = settingsFrom(options, base)
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
