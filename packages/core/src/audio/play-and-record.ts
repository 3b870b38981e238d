import { BoardwrightError } from '../model/error.ts'
import { bytesPerSample, decodeRaw, encodeRaw } from './raw-samples.ts'
import type { ProgramCall } from './run-program.ts'
import type { SoundDevice } from './sound-device.ts'
import { SoundProcess } from './sound-process.ts'
import type { SoundSystem } from './sound-system.ts'

export interface PlayAndRecord {
  system: SoundSystem
  output: SoundDevice
  input: SoundDevice
  /** Channel that plays, from 0; the others are silent. */
  outputChannel: number
  /** Channels that are wanted, from 0. */
  inputChannels: readonly number[]
  rateHz: number
  /** What is played, full scale = 1. */
  samples: Float64Array
  silenceBeforeS?: number
  silenceAfterS?: number
  /** What is still recorded after the player has ended: its last buffer is on the way. */
  recordOnS?: number
  /** Share of the whole that is done. */
  onProgress?: (fraction: number) => void
  /** Silences the player and ends both programs; the promise is rejected with the signal's reason. */
  signal?: AbortSignal
}

export interface Played {
  channels: Float64Array[]
  hasGap: boolean
}

/**
 * Times that hold on a real sound server, ms and s. The first buffer after the start can be lost or late, hence silence
 * before; 500 ms ahead stays whole beside four busy programs. Source: own trials, 20 runs each (AUDIO of this project).
 */
const usual = { recorderLatencyMs: 50, playerLatencyMs: 500, silenceBeforeS: 0.3, silenceAfterS: 0.5, recordOnS: 0.5 }
/** A recorder must start, and then never stay silent, within these, ms. A player must be done this much after its time. */
const startWithinMs = 6000
const stallWithinMs = 4000
const endWithinMs = 6000

const remedies = {
  device: 'Plug the sound interface in again, look that it is chosen for the rig, then test again.',
  stalled: 'Close other programs that use the sound interface, or plug it in again; then test again.',
}

/**
 * Plays samples and records at the same time, with the system's own programs as child processes. The recorder starts first;
 * when its first bytes are there the player starts. Whatever goes wrong, the player is silenced first and both programs are
 * gone before the promise settles. Nothing is written to the disk.
 *
 * @returns one array per channel that was asked for, full scale = 1; `hasGap` when a program said that it did not keep up
 * Errors: rig-failed: a program cannot be started, the server stops, the device goes away or falls asleep.
 */
export async function playAndRecord(options: PlayAndRecord): Promise<Played> {
  options.signal?.throwIfAborted()
  const run = new Run(options)
  try {
    return await run.go()
  } finally {
    await run.clear()
  }
}

class Run {
  private readonly options: PlayAndRecord
  private readonly inputCount: number
  private readonly outputCount: number
  private readonly chunks: Buffer[] = []
  private bytes = 0
  private hasGap = false
  private lastBytesMs = performance.now()
  private processes: SoundProcess[] = []
  /** Wakes whoever waits for sound, an end, or trouble. */
  private wake: () => void = () => {}
  private trouble: Error | null = null
  private readonly onAbort = () => this.fail(this.options.signal?.reason)

  constructor(options: PlayAndRecord) {
    this.options = options
    this.inputCount = options.input.channels ?? Math.max(2, ...options.inputChannels.map((c) => c + 1))
    this.outputCount = options.output.channels ?? Math.max(2, options.outputChannel + 1)
    options.signal?.addEventListener('abort', this.onAbort)
  }

  async go(): Promise<Played> {
    const { system, input, output, rateHz } = this.options
    const { playerLatencyMs } = usual
    const recorder = this.start(
      system.recorder({ device: input, rateHz, channels: this.inputCount, latencyMs: usual.recorderLatencyMs }),
      false,
    )
    recorder.child.stdout.on('data', (chunk: Buffer) => this.take(chunk))
    await this.until(
      () => this.bytes > 0,
      startWithinMs,
      () =>
        this.failed(`${input.label} does not record: no sound came within ${startWithinMs / 1000} s`, remedies.stalled),
    )
    const player = this.start(
      system.player({ device: output, rateHz, channels: this.outputCount, latencyMs: playerLatencyMs }),
      true,
    )
    player.child.stdout.resume()
    const played = this.played()
    player.child.stdin.end(played)
    const playedS = played.length / bytesPerSample / this.outputCount / rateHz
    await this.until(
      () => player.end !== null,
      1000 * playedS + playerLatencyMs + endWithinMs,
      () => this.failed(`${output.label} does not play to the end`, remedies.stalled),
    )
    const enough = this.bytes + Math.ceil(this.recordOn() * rateHz) * this.inputCount * bytesPerSample
    await this.until(
      () => this.bytes >= enough,
      stallWithinMs + 1000 * this.recordOn(),
      () => this.stalled(),
    )
    await recorder.finish()
    return { channels: this.wanted(), hasGap: this.hasGap }
  }

  /** Silences the player first, then ends everything, and waits until it is gone. */
  async clear(): Promise<void> {
    this.options.signal?.removeEventListener('abort', this.onAbort)
    this.silence()
    await Promise.all(this.processes.map((process) => process.ended))
  }

  private silence(): void {
    for (const process of [...this.processes].reverse()) process.kill()
  }

  private start(call: ProgramCall, endsByItself: boolean): SoundProcess {
    const process = new SoundProcess(call, (messages) => {
      const { system } = this.options
      this.hasGap ||= system.hasGap(messages)
      const trouble = system.troubleIn(messages)
      if (trouble) this.fail(this.failed(`The sound stopped: ${trouble}`, remedies.device))
    })
    this.processes.push(process)
    process.ended.then(({ exitCode, signal, startError }) => {
      if (startError) this.fail(this.failed(`${process.program} cannot be started: ${startError.message}`))
      // A program that was stopped may end with any code.
      else if (!process.child.killed && !(endsByItself && exitCode === 0))
        this.fail(this.failed(`${process.program} ended ${endWords(exitCode, signal)}${saying(process)}`))
      this.wake()
    })
    return process
  }

  private take(chunk: Buffer): void {
    this.chunks.push(chunk)
    this.bytes += chunk.length
    this.lastBytesMs = performance.now()
    const { onProgress, rateHz, samples } = this.options
    const frames = this.bytes / bytesPerSample / this.inputCount
    onProgress?.(Math.min(1, frames / (samples.length + rateHz * (this.before() + this.after() + this.recordOn()))))
    this.wake()
  }

  /** The first trouble counts; it silences the player at once. */
  private fail(error: Error): void {
    if (this.trouble) return
    this.trouble = error
    this.silence()
    this.wake()
  }

  private failed(what: string, remedy?: string): BoardwrightError {
    return new BoardwrightError('rig-failed', `${what}.`, { remedy })
  }

  private stalled(): BoardwrightError {
    return this.failed(`${this.options.input.label} stopped recording in the middle of the sweep`, remedies.stalled)
  }

  /** Waits for a condition; the first trouble, a recorder that falls silent, or the end of the time rejects. */
  private async until(isDone: () => boolean, withinMs: number, late: () => Error): Promise<void> {
    const endMs = performance.now() + withinMs
    for (;;) {
      if (this.trouble) throw this.trouble
      if (isDone()) return
      const nowMs = performance.now()
      if (nowMs >= endMs) throw late()
      if (this.bytes > 0 && nowMs - this.lastBytesMs > stallWithinMs) throw this.stalled()
      await new Promise<void>((resolve) => {
        const timer = setTimeout(resolve, Math.min(endMs - nowMs, 500))
        this.wake = () => {
          clearTimeout(timer)
          resolve()
        }
      })
    }
  }

  private before = (): number => this.options.silenceBeforeS ?? usual.silenceBeforeS
  private recordOn = (): number => this.options.recordOnS ?? usual.recordOnS
  private after = (): number => this.options.silenceAfterS ?? usual.silenceAfterS

  private played(): Buffer {
    const { samples, rateHz, outputChannel, system } = this.options
    return encodeRaw({
      samples,
      channels: this.outputCount,
      channel: outputChannel,
      format: system.format,
      silenceBefore: Math.round(this.before() * rateHz),
      silenceAfter: Math.round(this.after() * rateHz),
    })
  }

  private wanted(): Float64Array[] {
    const bytes = Buffer.concat(this.chunks)
    const all = decodeRaw({ bytes, channels: this.inputCount, format: this.options.system.format })
    return this.options.inputChannels.map((channel) => all[channel])
  }
}

const endWords = (exitCode: number | null, signal: NodeJS.Signals | null): string =>
  signal ? `by ${signal}` : `with code ${exitCode}`

const saying = (process: SoundProcess): string => {
  const message = process.lastMessage()
  return message === '' ? '' : ` and said "${message}"`
}
