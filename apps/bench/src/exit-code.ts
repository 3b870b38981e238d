/** Exit codes of every command; they stand in --help. */
export const exitCode = { ok: 0, fail: 1, badInput: 2, repeat: 3, bug: 70 } as const

export type ExitCode = (typeof exitCode)[keyof typeof exitCode]
