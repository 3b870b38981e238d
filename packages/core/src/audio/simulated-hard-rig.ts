import type { Board, Spread } from '../circuit/draw-board.ts'
import type { Fault } from '../circuit/fault.ts'
import { RandomSource, seedOf } from '../circuit/random.ts'
import type { Product } from '../model/product.ts'
import type { WaveAudio } from '../response/wave/wave-format.ts'
import type { HardRig, HardSound } from './hard-rig.ts'
import { hardSoundName } from './hard-rig.ts'
import { pause } from './pause.ts'

export interface SimulatedHardRigOptions {
  product: Product
  /** As for the simulated rig: the same seed and serial number are the same board. */
  seed?: number
  spread?: Spread
  faultsOf?: (serial: string) => readonly Fault[]
  /** Noise of the interface, dBFS. */
  noiseDbfs?: number
  /** How many times faster than a real rig; Infinity does not wait. */
  speed?: number
}

/** Noise of an ordinary sound interface's input, dBFS. Common practice, no source. */
const usualNoiseDbfs = -98
const earlyAtMostS = 0.1
const tellEveryMs = 50

const loadTwin = async () => {
  const [{ drawBoard }, { simulateRecording }, { withSupply }] = await Promise.all([
    import('../circuit/draw-board.ts'),
    import('../circuit/simulate-recording.ts'),
    import('../circuit/with-supply.ts'),
  ])
  return { drawBoard, simulateRecording, withSupply }
}

/**
 * A rig that is not there and presses boards hard: the board of a serial number on a battery of the voltage asked for, its
 * op-amps at their limits. Errors: setting-unknown, bad-circuit.
 */
export function makeSimulatedHardRig(options: SimulatedHardRigOptions): HardRig {
  const { product, seed = 1, spread, speed = 1, noiseDbfs = usualNoiseDbfs } = options
  const boards = new Map<string, Board>()
  let runs = 0
  return {
    kind: 'simulated',
    setsSupply: true,
    async record(sound) {
      const { serial, setting, supply, samples, rateHz, signal } = sound
      signal?.throwIfAborted()
      const beganMs = performance.now()
      const twin = await loadTwin()
      const supplied = twin.withSupply(product, supply.voltageV)
      const key = `${serial} ${supply.voltageV}`
      const faults = options.faultsOf?.(serial) ?? []
      const board = boards.get(key) ?? twin.drawBoard({ product: supplied, seed: seedOf(seed, serial), spread, faults })
      boards.set(key, board)
      runs++
      const runSeed = seedOf(seed, `hard ${runs}`)
      const output = twin.simulateRecording({
        product: supplied,
        board,
        setting,
        sweepSamples: startedEarly(samples, rateHz, runSeed),
        rateHz,
        noiseDbfs,
        seed: runSeed,
      })
      await tellProgress(sound, { beganMs, durationMs: (1000 * samples.length) / rateHz / speed })
      return { audio: recorded(output, rateHz), origin: `simulated rig, ${hardSoundName(sound)}` }
    },
  }
}

function startedEarly(samples: Float64Array, rateHz: number, seed: number): Float64Array {
  const early = Math.round(new RandomSource(seedOf(seed, 'start')).uniform() * earlyAtMostS * rateHz)
  const played = new Float64Array(early + samples.length)
  played.set(samples, early)
  return played
}

/** 24 bits, held at full scale, as an interface hands it over. */
function recorded(output: Float64Array, rateHz: number): WaveAudio {
  const fullScale = 2 ** 23
  const held = output.map((x) => Math.min(fullScale - 1, Math.max(-fullScale, Math.round(x * fullScale))) / fullScale)
  return { rateHz, channels: [held], sampleFormat: 'pcm24', bits: 24, truncated: false }
}

async function tellProgress(sound: HardSound, time: { beganMs: number; durationMs: number }): Promise<void> {
  for (;;) {
    const leftMs = time.beganMs + time.durationMs - performance.now()
    if (leftMs <= 0) break
    sound.onProgress?.({ fraction: 1 - leftMs / time.durationMs, activity: 'playing' })
    await pause(Math.min(leftMs, tellEveryMs), sound.signal)
  }
  sound.signal?.throwIfAborted()
  sound.onProgress?.({ fraction: 1, activity: 'recorded' })
}
