import { makeDemoWorkshop } from '@boardwright/core/demo'
import { type CommandContext, note, print, printJson } from '../command-context.ts'
import { exitCode } from '../exit-code.ts'
import { makeFolder } from '../open-workshop.ts'
import { workshopPath } from '../workshop-path.ts'

/** `boardwright demo`: a workshop to look at, made by the same verbs as a real one. */
export async function demo(context: CommandContext) {
  const file = workshopPath(context)
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
