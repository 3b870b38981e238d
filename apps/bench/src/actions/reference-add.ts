import { formatDb } from '@boardwright/core'
import { type CommandContext, print, printJson } from '../command-context.ts'
import { exitCode } from '../exit-code.ts'
import { withWorkshop } from '../open-workshop.ts'
import type { SettingFile } from '../parse-option.ts'
import { readSweepFile } from '../read-sweep-file.ts'
import { channelOf, readSettingFiles, type Side } from '../setting-recordings.ts'

export interface ReferenceAddOptions {
  setting: SettingFile[]
  sweep?: string
  note: string
  product?: string
  loopBack?: Side
}

/** `boardwright reference add`: makes the next version of the reference. */
export function referenceAdd(context: CommandContext, options: ReferenceAddOptions) {
  const recordings = readSettingFiles(options.setting)
  const sweep = options.sweep === undefined ? undefined : readSweepFile(options.sweep)
  return withWorkshop(context, { create: true }, (workshop) => {
    const reference = workshop.addReference({
      productId: options.product,
      recordings,
      sweep,
      loopBackChannel: channelOf(options.loopBack),
      note: options.note,
    })
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
    return exitCode.ok
  })
}
