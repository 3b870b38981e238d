import { makeSweep, type SweepSettings, sweepMetadata, writeWave } from '@boardwright/core'
import { settingPartPrefix, sweepPart } from '@boardwright/core/contract'
import type { Take } from './take.ts'

const waveFile = (name: string, wave: Omit<Parameters<typeof writeWave>[0], 'format'>): File =>
  // 32-bit floats: every sample as the browser gave it.
  new File([writeWave({ ...wave, format: 'float32' }) as Uint8Array<ArrayBuffer>], name, { type: 'audio/wav' })

/**
 * The multipart body that stores a test run of these recordings. The loop-back, when there is one, is the right channel.
 * The sweep goes along: an older unit may be judged by a test plan with another one.
 */
export function takesBody(options: {
  serial: string
  productId: string
  stimulus: SweepSettings
  takes: readonly Take[]
}): FormData {
  const { serial, productId, stimulus, takes } = options
  const body = new FormData()
  body.set('serial', serial)
  body.set('productId', productId)
  body.set('rig', 'sound-interface')
  if (takes.some(({ channels }) => channels.length > 1)) body.set('loopBackChannel', 'right')
  // Files last: the server then knows the serial number before the first recording arrives.
  const { samples, rateHz } = makeSweep(stimulus)
  body.set(sweepPart, waveFile('sweep.wav', { rateHz, channels: [samples], metadata: sweepMetadata(stimulus) }))
  for (const take of takes) body.set(settingPartPrefix + take.setting, waveFile(`${serial}-${take.setting}.wav`, take))
  return body
}
