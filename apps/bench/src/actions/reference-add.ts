import { formatDb, type Reference } from '@boardwright/core'
import { type CommandContext, print, printJson } from '../command-context.ts'
import { exitCode } from '../exit-code.ts'
import { withWorkshop } from '../open-workshop.ts'
import type { SettingFile } from '../parse-option.ts'
import { readSweepFile } from '../read-sweep-file.ts'
import { UsageError } from '../report-error.ts'
import { askOnTerminal } from '../session/ask-on-terminal.ts'
import { measureReference } from '../session/measure-reference.ts'
import { type RigOptions, tellActivity, withRig } from '../session/setup/on-command-line.ts'
import { channelOf, readSettingFiles, type Side } from '../setting-recordings.ts'

export interface ReferenceAddOptions extends Pick<RigOptions, 'yes'> {
  despiteContact?: boolean
  setting?: SettingFile[]
  rig?: 'sound'
  rigName?: string
  runs: number
  sweep?: string
  note: string
  product?: string
  loopBack?: Side
}

function fromFiles(context: CommandContext, options: ReferenceAddOptions): Promise<Reference> {
  const recordings = readSettingFiles(options.setting ?? [])
  const sweep = options.sweep === undefined ? undefined : readSweepFile(options.sweep)
  const loopBackChannel = channelOf(options.loopBack)
  const { product: productId, note } = options
  return withWorkshop(context, { create: true }, (workshop) =>
    workshop.addReference({ productId, recordings, sweep, loopBackChannel, note }),
  )
}

const onRig = (context: CommandContext, options: ReferenceAddOptions): Promise<Reference> =>
  withRig(context, { ...options, name: options.rigName }, (setUp, answers) => {
    const { product, signal } = setUp
    const ask = askOnTerminal({ ...options, context, answers, product, signal })
    const onProgress = tellActivity(context)
    return measureReference({ ...setUp, ask, onProgress, runs: options.runs, note: options.note })
  })

/** `boardwright reference add`: makes the next version of the reference. */
export async function referenceAdd(context: CommandContext, options: ReferenceAddOptions) {
  if ((options.setting === undefined) === (options.rig === undefined))
    throw new UsageError('Give the recordings with --setting NAME=FILE, or have the rig record with --rig sound.')
  const reference = await (options.rig ? onRig(context, options) : fromFiles(context, options))
  tellReference(context, reference)
  return exitCode.ok
}

function tellReference(context: CommandContext, reference: Reference): void {
  if (context.json) printJson(context, reference)
  else {
    print(
      context,
      `Reference ${reference.version} of ${reference.productId} ${reference.revision} is made; tests are judged by it from now on.`,
    )
    for (const one of reference.settings) {
      const spread =
        one.runs > 1
          ? `${one.runs} runs, which differ by ${formatDb(Math.max(...one.repeatabilityDb), { digits: 2 })} at most (standard deviation)`
          : 'one run: give several to know how well it repeats'
      print(context, `  ${one.setting}: ${formatDb(one.gainAt1kHzDb, { digits: 2 })} at 1 kHz, ${spread}`)
    }
  }
}
