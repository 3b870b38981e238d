import type { Board, Spread } from '../circuit/draw-board.ts'
import type { Fault } from '../circuit/fault.ts'
import { RandomSource, seedOf } from '../circuit/random.ts'
import type { Product } from '../model/product.ts'
import type { SweepSignal } from '../response/sweep/sweep-signal.ts'
import type { WaveAudio } from '../response/wave/wave-format.ts'
import { pause } from './pause.ts'
import type { RigDriver, RigRequest } from './rig-driver.ts'

export interface SimulatedRigOptions {
  product: Product
  /** Decides every board and every noise; the same seed gives the same recordings. */
  seed?: number
  /** How the parts of a board lie within their tolerances; `none` is the board as drawn. */
  spread?: Spread
  /** What is wrong with a board, by its serial number. */
  faultsOf?: (serial: string) => readonly Fault[]
  /** Noise of the interface, dBFS. */
  noiseDbfs?: number
  hum?: { hz: number; levelDbfs: number }
  /** False takes the op-amps as linear, which is quicker and the same at a level that is far from clipping. */
  clip?: boolean
  /** False leaves out the noise of the board's own parts, which is quicker; the interface's stays. */
  boardNoise?: boolean
  /** How many times faster than a real rig: 1 takes as long as the sweep does, Infinity does not wait. */
  speed?: number
}

/** Noise of an ordinary sound interface's input, dBFS. Common practice, no source. */
const usualNoiseDbfs = -98

/** The circuit twin brings the unit library, a second to load: nobody who reads a WAV file shall wait for it. */
const loadTwin = async () => {
  const [{ drawBoard }, { simulateRecording }] = await Promise.all([
    import('../circuit/draw-board.ts'),
    import('../circuit/simulate-recording.ts'),
  ])
  return { drawBoard, simulateRecording }
}
type Twin = Awaited<ReturnType<typeof loadTwin>>

/** How often progress is told, ms. */
const tellEveryMs = 50

/**
 * A rig that is not there: for each serial number a board of the product is drawn with its tolerances, and the sweep goes
 * through its circuit, op-amps clipping, with noise and hum. What comes back is a 24-bit recording that begins somewhat
 * before the sweep, as a real one does, and it goes through the whole analysis like any other.
 * Errors: setting-unknown, bad-circuit (a fault that the circuit cannot have).
 */
export function makeSimulatedRig(options: SimulatedRigOptions): RigDriver {
  const { seed = 1, speed = 1 } = options
  const boards = new Map<string, Board>()
  let runs = 0
  const boardOf = (serial: string, { drawBoard }: Twin): Board => {
    const known = boards.get(serial)
    if (known) return known
    const faults = options.faultsOf?.(serial) ?? []
    const { product, spread } = options
    const board = drawBoard({ product, seed: seedOf(seed, serial), spread, faults })
    boards.set(serial, board)
    return board
  }
  return {
    kind: 'simulated',
    async run(request) {
      request.signal?.throwIfAborted()
      const beganMs = performance.now()
      request.onProgress?.({ fraction: 0, activity: 'playing the sweep' })
      const twin = await loadTwin()
      request.signal?.throwIfAborted()
      runs++
      const board = boardOf(request.serial, twin)
      const audio = record({ ...options, twin, board, request, seed: seedOf(seed, `run ${runs}`) })
      const durationMs = (1000 * request.sweep.samples.length) / request.sweep.rateHz / speed
      await tellProgress(request, { beganMs, durationMs })
      return { audio, origin: `simulated rig, ${request.setting}` }
    },
  }
}

async function tellProgress(request: RigRequest, time: { beganMs: number; durationMs: number }): Promise<void> {
  for (;;) {
    const leftMs = time.beganMs + time.durationMs - performance.now()
    if (leftMs <= 0) break
    request.onProgress?.({ fraction: 1 - leftMs / time.durationMs, activity: 'playing the sweep' })
    await pause(Math.min(leftMs, tellEveryMs), request.signal)
  }
  request.signal?.throwIfAborted()
  request.onProgress?.({ fraction: 1, activity: 'recorded' })
}

/** What the interface hands over: full scale held, 24 bits, begun up to a tenth of a second before the sweep. */
function record(
  options: SimulatedRigOptions & { twin: Twin; board: Board; request: RigRequest; seed: number },
): WaveAudio {
  const { product, board, hum, clip, boardNoise, seed = 1, noiseDbfs = usualNoiseDbfs, request } = options
  const { rateHz } = request.sweep
  const samples = options.twin.simulateRecording({
    product,
    board,
    setting: request.setting,
    sweepSamples: startedEarly(request.sweep, seed),
    rateHz,
    noiseDbfs,
    hum,
    clip,
    boardNoise,
    seed,
  })
  const fullScale = 2 ** 23
  const held = samples.map((x) => Math.min(fullScale - 1, Math.max(-fullScale, Math.round(x * fullScale))) / fullScale)
  return { rateHz, channels: [held], sampleFormat: 'pcm24', bits: 24, truncated: false }
}

const earlyAtMostS = 0.1

function startedEarly({ samples, rateHz }: SweepSignal, seed: number): Float64Array {
  const early = Math.round(new RandomSource(seedOf(seed, 'start')).uniform() * earlyAtMostS * rateHz)
  const played = new Float64Array(early + samples.length)
  played.set(samples, early)
  return played
}
