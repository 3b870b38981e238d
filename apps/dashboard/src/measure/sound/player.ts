import { fadeEnds, limitLevel } from '@boardwright/core'
import { soundTrouble } from './sound-trouble.ts'

export interface Player {
  /** When the stimulus begins and ends at the output, s of the context's clock. */
  startS: number
  endS: number
  /** Takes the level down first, then stops. */
  silence: () => Promise<void>
}

/** A level that goes to nothing within this does not click, s. */
const muteS = 0.005

/**
 * Plays samples on one channel of the output, once, the others silent. What is louder than the limit is never played.
 * Errors: level-too-high, bad-argument, device-missing (channel).
 * @param options.afterS silence before it, s
 */
export function startPlayer(options: {
  context: AudioContext
  output: string
  samples: Float64Array
  channel: number
  maxLevelDbfs: number
  afterS: number
}): Player {
  const { context, samples, channel, maxLevelDbfs } = options
  limitLevel({ samples, maxLevelDbfs })
  const { destination } = context
  const channels = destination.maxChannelCount
  if (channel >= channels)
    throw soundTrouble(
      'device-missing',
      `The output "${options.output}" has ${channels} channel(s), none with number ${channel + 1}.`,
    )
  destination.channelCount = channels
  destination.channelInterpretation = 'discrete'
  const buffer = context.createBuffer(1, samples.length, context.sampleRate)
  buffer.copyToChannel(Float32Array.from(fadeEnds(samples, context.sampleRate)), 0)
  const source = new AudioBufferSourceNode(context, { buffer })
  const level = new GainNode(context, { gain: 1 })
  const places = new ChannelMergerNode(context, { numberOfInputs: channels })
  source.connect(level).connect(places, 0, channel)
  places.connect(destination)
  const startS = context.currentTime + options.afterS
  source.start(startS)
  return {
    startS,
    endS: startS + samples.length / context.sampleRate,
    async silence() {
      level.gain.setValueAtTime(1, context.currentTime)
      level.gain.linearRampToValueAtTime(0, context.currentTime + muteS)
      await new Promise((resolve) => setTimeout(resolve, 20))
      source.stop()
      places.disconnect()
    },
  }
}
