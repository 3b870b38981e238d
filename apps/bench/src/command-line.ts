import { Command, CommanderError } from 'commander'
import type { CommandContext } from './command-context.ts'
import { declareBatch } from './commands/batch.ts'
import { declareBuild } from './commands/build.ts'
import type { Attach } from './commands/declare.ts'
import { declareDiagnose } from './commands/diagnose.ts'
import { declareGauge } from './commands/gauge.ts'
import { declareHard } from './commands/hard.ts'
import { declareKeep } from './commands/keep.ts'
import { declareLabel } from './commands/label.ts'
import { declareMeasure } from './commands/measure.ts'
import { declareOpen } from './commands/open.ts'
import { declareProduct } from './commands/product.ts'
import { declareReference } from './commands/reference.ts'
import { declareRig } from './commands/rig.ts'
import { declareRigCheck } from './commands/rig-check.ts'
import { declareServe } from './commands/serve.ts'
import { declareStock } from './commands/stock.ts'
import { declareSweep } from './commands/sweep.ts'
import { declareTest } from './commands/test.ts'
import { declareUnit } from './commands/unit.ts'
import { type ExitCode, exitCode } from './exit-code.ts'
import { reportError, UsageError } from './report-error.ts'
import { version } from './version.ts'
import { defaultWorkshopPath } from './workshop-path.ts'

const help = (context: CommandContext) => `
The workshop is one file: --file, else BOARDWRIGHT_FILE, else
  ${defaultWorkshopPath(context.env)}
The station is the name of this bench in the journal: --station, else
BOARDWRIGHT_STATION, else the computer's name.

A first session:
  boardwright sweep --out sweep.wav
      play it through the board and record what comes back
  boardwright reference add --setting max=refmax.wav --setting min=refmin.wav
  boardwright test --unit PLV-0001 --setting max=max.wav --setting min=min.wav
  boardwright open
      or do it all with one key, at the bench

Exit codes: 0 done, pass, or usable; 1 fail, or a check found something;
2 bad input; 3 repeat, or not usable; 70 a fault of Boardwright itself.
With --json every result and error is one JSON document on standard output.`

function makeProgram(context: CommandContext): Command {
  return new Command('boardwright')
    .description('Tests small audio boards against a reference board and keeps the verdicts.')
    .version(version, '--version', 'print the version')
    .helpOption('-h, --help', 'print this help')
    .helpCommand(false)
    .option('--file <workshop>', 'workshop file')
    .option('--station <name>', 'name of the place that works here')
    .option('--json', 'print the result as JSON')
    .addHelpText('after', help(context))
    .showSuggestionAfterError(true)
    .configureHelp({ showGlobalOptions: true })
    .exitOverride()
    .configureOutput({
      writeOut: (text) => context.stdout.write(text),
      writeErr: () => {}, // the one printer of errors says it
    })
}

/** Commander's sentence, without its "error:" and as a sentence. */
function usageOf(error: CommanderError): UsageError {
  if (error.code === 'commander.help') return new UsageError('Say what to do: a command is missing.')
  const sentence = error.message.replace(/^error: /, '').replaceAll('\n', ' ')
  return new UsageError(sentence.charAt(0).toUpperCase() + sentence.slice(1))
}

/**
 * Runs one command line.
 * @param argv what follows the name of the program
 * @returns the exit code
 */
export async function runCommandLine(argv: readonly string[], context: CommandContext): Promise<ExitCode> {
  let result: ExitCode = exitCode.ok
  context.json = argv.includes('--json') // so that a mistake before the options are read is reported as wanted
  const program = makeProgram(context)
  const attach: Attach = (command, load) =>
    command.action(async (...parts: unknown[]) => {
      const { file, station, json } = program.opts<{ file?: string; station?: string; json?: boolean }>()
      Object.assign(context, { file, station, json: json ?? false })
      const action = await load()
      const operand = typeof parts[0] === 'string' ? parts[0] : undefined
      result = await action(context, { ...command.opts(), operand } as Parameters<typeof action>[1])
    })
  for (const declare of [
    declareOpen,
    declareTest,
    declareBatch,
    declareLabel,
    declareDiagnose,
    declareRig,
    declareRigCheck,
    declareGauge,
    declareHard,
    declareReference,
    declareSweep,
    declareMeasure,
    declareUnit,
    declareBuild,
    declareStock,
    declareProduct,
    declareServe,
    declareKeep,
  ])
    declare(program, attach)
  inheritSettings(program)

  try {
    await program.parseAsync([...argv], { from: 'user' })
    return result
  } catch (error) {
    if (!(error instanceof CommanderError)) return reportError(context, error)
    if (error.exitCode === 0) return exitCode.ok
    return reportError(context, usageOf(error))
  }
}

/** Groups such as `unit` and their commands end in the same way as the program does. */
function inheritSettings(command: Command) {
  for (const child of command.commands) {
    child.copyInheritedSettings(command)
    child.helpCommand(false)
    inheritSettings(child)
  }
}
