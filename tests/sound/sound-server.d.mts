export interface SoundServer {
  /** For every program that is to use this server. */
  environment: NodeJS.ProcessEnv
  pid: number
  /** Runs pactl and gives what it prints. */
  control(...command: string[]): string
  /** Loads a module; gives its number. */
  load(module: string): number
  nullSink(name: string, rateHz: number, format?: string): string
  input(name: string, sink: string): string
  /** Kills the server as a crash would. */
  kill(): void
  stop(): Promise<void>
}
export function startSoundServer(): Promise<SoundServer>
export const equalisers: Record<'board_max' | 'board_min', [number, number, number]>
export const ladspaFolder: string
