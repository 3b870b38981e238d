import type { Command } from 'commander'
import type { CommandContext } from '../command-context.ts'
import type { ExitCode } from '../exit-code.ts'

/** What a command does: loaded only when it is run, so that --help and short commands start at once. */
type Action<Options> = (context: CommandContext, options: Options) => Promise<ExitCode> | ExitCode

/** Hands a command's parsed options to its action. */
export type Attach = <Options>(command: Command, load: () => Promise<Action<Options>>, operand?: string) => Command

/** How a command is added to the program. */
export type Declare = (program: Command, attach: Attach) => void
