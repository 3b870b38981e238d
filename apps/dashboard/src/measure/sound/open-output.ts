import { formatRate } from '@boardwright/core'
import { choosesOutput, type SoundDevice } from './sound-devices.ts'
import { fromOutputError, soundTrouble } from './sound-trouble.ts'

/** What newer browsers take besides; the types know nothing of it. */
type ContextOptions = AudioContextOptions & { sinkId?: string }

/**
 * Opens an output at the rate it runs at by itself: a page may ask for another, but then the browser converts.
 * Errors: device-missing, device-rate, rig-failed.
 */
export async function openOutput(device: SoundDevice, rateHz: number): Promise<AudioContext> {
  // A long buffer: what counts is that no block is lost.
  const options: ContextOptions = { latencyHint: 'playback' }
  if (device.id !== '' && choosesOutput()) options.sinkId = device.id
  let context: AudioContext | undefined
  try {
    context = new AudioContext(options)
    await startedWithin(context, 5000)
  } catch (error) {
    await context?.close().catch(() => {})
    throw fromOutputError(error, device.label)
  }
  if (context.sampleRate === rateHz) return context
  const { sampleRate } = context
  await context.close()
  throw soundTrouble(
    'device-rate',
    `The output "${device.label}" runs at ${formatRate(sampleRate)}, the sweep of the test plan at ${formatRate(rateHz)}.`,
  )
}

/** A context whose device is not there may stay suspended for ever. */
async function startedWithin(context: AudioContext, withinMs: number): Promise<void> {
  let timer: ReturnType<typeof setTimeout> | undefined
  const late = new Promise<never>((_, reject) => {
    timer = setTimeout(() => reject(new Error('it does not start')), withinMs)
  })
  await Promise.race([context.resume(), late]).finally(() => clearTimeout(timer))
}
