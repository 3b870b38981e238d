import recorderUrl from './recorder-worklet.ts?worker&url'
import { soundTrouble } from './sound-trouble.ts'

export interface Recorder {
  /** The last moment at which sound came, ms of `performance.now()`. */
  lastMs: () => number
  frames: () => number
  /** Largest magnitude in one channel since it was last asked, full scale = 1. */
  takePeak: (channel: number) => number
  /** Ends the recording; gives every channel whole. */
  finish: () => Promise<Float64Array[]>
  close: () => void
}

/**
 * Records a stream sample by sample on the sound thread, all channels unmixed. It runs from the moment it is there.
 * Errors: rig-failed.
 */
export async function startRecorder(context: AudioContext, stream: MediaStream, channels: number): Promise<Recorder> {
  try {
    await context.audioWorklet.addModule(recorderUrl)
  } catch (error) {
    throw soundTrouble('rig-failed', 'The recorder of this page could not be fetched.', { cause: error })
  }
  const source = context.createMediaStreamSource(stream)
  const node = new AudioWorkletNode(context, 'boardwright-recorder', {
    numberOfOutputs: 0,
    channelCount: channels,
    channelCountMode: 'explicit',
    channelInterpretation: 'discrete',
    processorOptions: { channels },
  })
  const blocks: Float32Array[][] = []
  const peaks = new Array<number>(channels).fill(0)
  let frames = 0
  let lastMs = performance.now()
  let onEnded = () => {}
  node.port.onmessage = ({ data }: MessageEvent<Float32Array[] | 'ended'>) => {
    if (data === 'ended') return onEnded()
    blocks.push(data)
    frames += data[0]?.length ?? 0
    lastMs = performance.now()
    data.forEach((samples, c) => {
      peaks[c] = samples.reduce((most, x) => Math.max(most, Math.abs(x)), peaks[c] ?? 0)
    })
  }
  source.connect(node)
  return {
    lastMs: () => lastMs,
    frames: () => frames,
    takePeak: (channel) => {
      const peak = peaks[channel] ?? 0
      peaks[channel] = 0
      return peak
    },
    async finish() {
      await new Promise<void>((resolve) => {
        onEnded = resolve
        node.port.postMessage('end')
      })
      return Array.from({ length: channels }, (_, c) => joined(blocks, c, frames))
    },
    close: () => {
      source.disconnect()
      node.port.close()
    },
  }
}

function joined(blocks: readonly Float32Array[][], channel: number, frames: number): Float64Array {
  const whole = new Float64Array(frames)
  let at = 0
  for (const block of blocks) {
    const samples = block[channel]
    if (samples) whole.set(samples, at)
    at += block[0]?.length ?? 0
  }
  return whole
}
