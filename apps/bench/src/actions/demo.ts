import { makeDemoWorkshop, offerDemoUnit } from '@boardwright/core/demo'
import { type CommandContext, note, print, printJson } from '../command-context.ts'
import { exitCode } from '../exit-code.ts'
import { makeFolder } from '../open-workshop.ts'
import { workshopPath } from '../workshop-path.ts'

export interface DemoOptions {
  /** Only see to it that a unit of the demo that is there waits for its test. */
  nextUnit?: boolean
}

/** `boardwright demo`: a workshop to look at, made by the same verbs as a real one. */
export async function demo(context: CommandContext, options: DemoOptions) {
  const file = workshopPath(context)
  if (options.nextUnit) {
    const serial = offerDemoUnit({ file })
    if (context.json) printJson(context, { file, serialToTest: serial })
    else print(context, `${serial} waits for its test.`)
    return exitCode.ok
  }
  makeFolder(file)
  const made = await makeDemoWorkshop({
    file,
    onProgress: ({ fraction, activity }) =>
      note(context, `  ${String(Math.round(fraction * 100)).padStart(3)} %  ${activity}`),
  })
  if (context.json) printJson(context, made)
  else
    print(
      context,
      `The demo workshop is at ${made.file}: ${made.units} units, ${made.runs} test runs; ${made.serialToTest} waits for its test.`,
    )
  return exitCode.ok
}
