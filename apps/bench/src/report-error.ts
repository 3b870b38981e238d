import { type CommandContext, note, printJson } from './command-context.ts'
import { type ExitCode, exitCode } from './exit-code.ts'

/** What is known about an error without loading the error catalogue: its own fields. */
interface Reported {
  code: string
  message: string
  remedy: string
  exit: ExitCode
}

/** An error of the catalogue carries code and remedy; checked by shape, so that a usage error needs no other package. */
const isCatalogued = (error: Error): error is Error & { code: string; remedy: string } =>
  'code' in error && 'remedy' in error && typeof error.remedy === 'string'

/** A board without contact is not bad: like a recording that proves nothing, it is to be measured again. */
const exitOf: Readonly<Record<string, ExitCode>> = { internal: exitCode.bug, 'contact-problem': exitCode.repeat }

function describe(error: unknown): Reported {
  if (error instanceof Error && isCatalogued(error)) {
    const exit = exitOf[error.code] ?? exitCode.badInput
    return { code: error.code, message: error.message, remedy: error.remedy, exit }
  }
  return {
    code: 'internal',
    message: `This is a fault of Boardwright, not yours: ${error instanceof Error ? error.message : String(error)}`,
    remedy: 'Run the command again with BOARDWRIGHT_DEBUG=1 and report what it prints.',
    exit: exitCode.bug,
  }
}

/**
 * The one printer of errors: sentence and remedy on standard error, with --json also as JSON on standard output.
 * @returns the exit code
 */
export function reportError(context: CommandContext, error: unknown): ExitCode {
  const { exit, ...reported } = describe(error)
  if (context.json) printJson(context, { error: reported })
  note(context, `boardwright: ${reported.message} [${reported.code}]`)
  note(context, `  ${reported.remedy}`)
  if (context.env.BOARDWRIGHT_DEBUG && error instanceof Error) note(context, error.stack ?? '')
  return exit
}

/** A mistake in the command line itself; has the shape of an error of the catalogue. */
export class UsageError extends Error {
  readonly code = 'bad-argument'
  readonly remedy: string

  constructor(
    message: string,
    remedy = 'boardwright --help shows the commands, boardwright COMMAND --help its options.',
  ) {
    super(message)
    this.name = 'UsageError'
    this.remedy = remedy
  }
}
