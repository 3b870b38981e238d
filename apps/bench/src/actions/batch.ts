import { type CommandContext, print } from '../command-context.ts'
import { exitCode } from '../exit-code.ts'
import { labelFolder } from '../label-folder.ts'
import { withWorkshop } from '../open-workshop.ts'
import { UsageError } from '../report-error.ts'
import { chooseRig, type RigChoice } from '../rig-choice.ts'
import { makeBackgroundBatch } from '../session/background-batch.ts'
import { makeBackgroundDiagnosis } from '../session/background-diagnosis.ts'
import { prepareEnvironment } from '../terminal-environment.ts'

export interface BatchOptions extends RigChoice {
  product?: string
  labels?: string
  printCommand?: string
}

/** `boardwright batch`: board after board, until it is left. */
export function batch(context: CommandContext, options: BatchOptions) {
  if (!process.stdin.isTTY || !process.stdout.isTTY || process.env.TERM === 'dumb')
    throw new UsageError(
      'The batch needs a terminal that it can draw on.',
      'Without one, use "boardwright test" with --setting or --rig.',
    )
  return withWorkshop(context, {}, async (workshop) => {
    const product = workshop.product(options.product)
    const { rig, label, close } = await chooseRig(options, { workshop, product, inBackground: true })
    prepareEnvironment(process.env)
    const folder = labelFolder(workshop.file, options.labels)
    const { file, station } = workshop
    const recorder = makeBackgroundBatch({ file, station, way: { folder, printCommand: options.printCommand } })
    const diagnosing = makeBackgroundDiagnosis({ file, station })
    const { showBatch } = await import('../show-batch.tsx')
    const results = await showBatch({ workshop, product, rig, rigLabel: label, diagnosing }, recorder).finally(() => {
      close()
      diagnosing.close()
    })
    print(context, 'Labels that are being printed are waited for ...')
    await recorder.close()
    const { resultLine, summaryLines } = await import('../text/batch-words.ts')
    for (const line of summaryLines(results)) print(context, line)
    for (const one of results) print(context, `  ${resultLine(one)}`)
    print(context, `Everything is stored in ${file}; labels are in ${folder}.`)
    return exitCode.ok
  })
}
