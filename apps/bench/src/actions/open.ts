import { type CommandContext, print } from '../command-context.ts'
import { exitCode } from '../exit-code.ts'
import { withWorkshop } from '../open-workshop.ts'
import { UsageError } from '../report-error.ts'
import { chooseRig, type RigChoice } from '../rig-choice.ts'
import { makeBackgroundDiagnosis } from '../session/background-diagnosis.ts'
import { prepareEnvironment } from '../terminal-environment.ts'

export interface OpenOptions extends RigChoice {
  product?: string
}

/** `boardwright open`: the bench, until it is left. */
export function open(context: CommandContext, options: OpenOptions) {
  if (!process.stdin.isTTY || !process.stdout.isTTY || process.env.TERM === 'dumb')
    throw new UsageError(
      'The bench needs a terminal that it can draw on.',
      'Without one, use "boardwright test" with --setting or --rig.',
    )
  return withWorkshop(context, { create: true }, async (workshop) => {
    const product = workshop.product(options.product)
    const { rig, label, close } = await chooseRig(options, { workshop, product, inBackground: true })
    prepareEnvironment(process.env)
    const diagnosing = makeBackgroundDiagnosis({ file: workshop.file, station: workshop.station })
    const { showBench } = await import('../show-bench.tsx')
    await showBench({ workshop, product, rig, rigLabel: label, diagnosing }).finally(() => {
      close()
      diagnosing.close()
    })
    print(context, `The bench is closed; everything is stored in ${workshop.file}.`)
    return exitCode.ok
  })
}
