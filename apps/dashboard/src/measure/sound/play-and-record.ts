import { isBoardwrightError } from '@boardwright/core'
import { ProblemError } from '../../api/problem-error.ts'
import { type OpenInput, openInput } from './open-input.ts'
import { openOutput } from './open-output.ts'
import { type Player, startPlayer } from './player.ts'
import { type Recorder, startRecorder } from './recorder.ts'
import type { SoundDevice } from './sound-devices.ts'
import { soundTrouble } from './sound-trouble.ts'
import { until } from './until.ts'
import { watchSound } from './watch-sound.ts'

export interface PlayAndRecord {
  output: SoundDevice
  input: SoundDevice
  /** Channels count from 0. */
  outputChannel: number
  /** The response first, then the loop-back when there is one. */
  inputChannels: readonly number[]
  rateHz: number
  /** What is played, full scale = 1. */
  samples: Float64Array
  silenceBeforeS: number
  silenceAfterS: number
  maxLevelDbfs: number
  /** Share of the whole that is done, and the peak of the response since the last time, full scale = 1. */
  onProgress: (progress: { fraction: number; peak: number }) => void
  /** Takes the level down and ends everything; the promise is rejected with the signal's reason. */
  signal: AbortSignal
}

export interface Played {
  /** One array a channel that was asked for, full scale = 1. */
  channels: Float64Array[]
  /** Bits of a sample as the browser took it; undefined where it does not say. */
  bits: number | undefined
}

/** The recorder has run for so long before the player starts, s: its first blocks may be silence instead of sound. */
const recorderAheadS = 0.4
/** Time from a scheduled start to the sound thread, s. */
const startS = 0.1
/** What is recorded beyond the end: the sound is still on its way through the buffers, s. */
const recordOnS = 0.3
const startWithinMs = 6000

/**
 * Plays samples and records at the same time. The recorder starts first. Whatever goes wrong, the level is taken down first
 * and everything is closed before the promise settles.
 *
 * Errors: those of openInput and openOutput, device-missing (channel), device-changed, device-muted, page-hidden,
 * sound-suspended, level-too-high, rig-failed.
 */
export async function playAndRecord(options: PlayAndRecord): Promise<Played> {
  const { signal, rateHz } = options
  signal.throwIfAborted()
  const input = await openInput(options.input, rateHz)
  let context: AudioContext | undefined
  let recorder: Recorder | undefined
  try {
    needChannels(options, input)
    context = await openOutput(options.output, rateHz)
    recorder = await startRecorder(context, input.stream, input.channels)
    const channels = await runThrough(options, { context, input, recorder })
    return { channels: options.inputChannels.map((c) => channels[c] ?? new Float64Array(0)), bits: input.bits }
  } catch (error) {
    throw asTrouble(error)
  } finally {
    recorder?.close()
    for (const track of input.stream.getTracks()) track.stop()
    await context?.close().catch(() => {})
  }
}

function needChannels({ input, inputChannels }: PlayAndRecord, { channels }: OpenInput): void {
  const missing = inputChannels.find((channel) => channel >= channels)
  if (missing !== undefined)
    throw soundTrouble(
      'device-missing',
      `The input "${input.label}" has ${channels} channel(s) for this browser, none with number ${missing + 1}.`,
    )
}

async function runThrough(
  options: PlayAndRecord,
  open: { context: AudioContext; input: OpenInput; recorder: Recorder },
): Promise<Float64Array[]> {
  const { context, recorder } = open
  const trouble = new AbortController()
  const signal = AbortSignal.any([options.signal, trouble.signal])
  const unwatch = watchSound({ ...open, devices: options }, (reason) => trouble.abort(reason))
  let player: Player | undefined
  try {
    await until({
      isDone: () => recorder.frames() >= recorderAheadS * options.rateHz,
      withinMs: startWithinMs,
      late: `The input "${options.input.label}" does not record.`,
      signal,
    })
    player = startPlayer({
      ...options,
      context,
      output: options.output.label,
      channel: options.outputChannel,
      afterS: startS + options.silenceBeforeS,
    })
    await playedOut(options, { ...open, player, signal })
    return await recorder.finish()
  } finally {
    // Also after the end, when there is nothing left to be silenced.
    await player?.silence()
    unwatch()
  }
}

/** Waits for the end of the sound, telling how far it is. */
async function playedOut(
  options: PlayAndRecord,
  open: { context: AudioContext; recorder: Recorder; player: Player; signal: AbortSignal },
): Promise<void> {
  const { context, recorder, player } = open
  const { onProgress, silenceBeforeS, silenceAfterS, rateHz } = options
  const beginS = player.startS - silenceBeforeS
  const wholeS = player.endS + silenceAfterS + recordOnS - beginS
  const wantedFrames = recorder.frames() + Math.ceil((wholeS + startS) * rateHz)
  const [response = 0] = options.inputChannels
  await until({
    isDone: () => {
      const fraction = Math.min(1, Math.max(0, (context.currentTime - beginS) / wholeS))
      onProgress({ fraction, peak: recorder.takePeak(response) })
      return recorder.frames() >= wantedFrames
    },
    withinMs: 1000 * wholeS + startWithinMs,
    late: `The output "${options.output.label}" does not play to the end.`,
    signal: open.signal,
  })
}

/** What core refuses is a sentence for the maker too. */
function asTrouble(error: unknown): unknown {
  if (!isBoardwrightError(error)) return error
  const { code, message, remedy } = error
  return new ProblemError({ code, sentence: message, remedy }, { cause: error })
}
