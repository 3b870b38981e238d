/** What a command gets from outside: streams, environment, and the options that all commands share. */
export interface CommandContext {
  env: NodeJS.ProcessEnv
  stdout: NodeJS.WritableStream & { isTTY?: boolean; columns?: number }
  stderr: NodeJS.WritableStream
  /** Where answers come from; standard input when left out. */
  stdin?: NodeJS.ReadStream
  /** Set by --file. */
  file?: string
  /** Set by --station. */
  station?: string
  /** Set by --json. */
  json: boolean
}

export const print = (context: CommandContext, text: string): void => {
  context.stdout.write(text.endsWith('\n') ? text : `${text}\n`)
}

/** One JSON document on standard output. */
export const printJson = (context: CommandContext, value: unknown): void => print(context, JSON.stringify(value))

/** A line beside the result, for the person: never mixed into what another program reads. */
export const note = (context: CommandContext, text: string): void => {
  context.stderr.write(`${text}\n`)
}
