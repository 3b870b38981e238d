// Runs on the sound thread: takes in what is recorded, unmixed, and hands it on in blocks. Plain and without imports.

/** Known in an audio worklet only; the page's types have nothing of it. */
declare class AudioWorkletProcessor {
  readonly port: MessagePort
}
declare function registerProcessor(
  name: string,
  processor: new (options: RecorderOptions) => AudioWorkletProcessor,
): void

interface RecorderOptions {
  processorOptions: { channels: number }
}

/** About 43 ms at 48 kHz: seldom enough not to crowd the page, often enough for its level strip. */
const framesPerBlock = 2048

class Recorder extends AudioWorkletProcessor {
  private readonly channels: number
  private block: Float32Array[]
  private filled = 0
  private isOn = true

  constructor({ processorOptions }: RecorderOptions) {
    super()
    this.channels = processorOptions.channels
    this.block = this.emptyBlock()
    this.port.onmessage = () => {
      this.handOver()
      this.isOn = false
      this.port.postMessage('ended')
    }
  }

  process([input]: Float32Array[][], [output]: Float32Array[][]): boolean {
    // An input that has not begun has no channel: that counts as silence, and time goes on.
    const frames = input?.[0]?.length ?? output?.[0]?.length ?? 128
    for (const [c, into] of this.block.entries()) {
      const samples = input?.[c]
      if (samples) into.set(samples, this.filled)
    }
    this.filled += frames
    if (this.filled >= framesPerBlock) this.handOver()
    return this.isOn
  }

  private emptyBlock(): Float32Array[] {
    return Array.from({ length: this.channels }, () => new Float32Array(framesPerBlock))
  }

  private handOver(): void {
    const full = this.block.map((samples) => (this.filled < framesPerBlock ? samples.slice(0, this.filled) : samples))
    this.filled = 0
    this.block = this.emptyBlock()
    this.port.postMessage(
      full,
      full.map(({ buffer }) => buffer),
    )
  }
}

registerProcessor('boardwright-recorder', Recorder)
