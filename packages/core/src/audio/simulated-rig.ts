import type { Board, Spread } from '../circuit/draw-board.ts'
import type { Fault } from '../circuit/fault.ts'
import { RandomSource, seedOf } from '../circuit/random.ts'
import type { Product } from '../model/product.ts'
import { referenceBoardSerial } from '../model/rig-check.ts'
import type { SweepSignal } from '../response/sweep/sweep-signal.ts'
import type { WaveAudio } from '../response/wave/wave-format.ts'
import { pause } from './pause.ts'
import type { RigDriver, RigRequest, RigSound } from './rig-driver.ts'
import { applyDrift, makeSimulatedContact, type RigDrift, type SimulatedDrift } from './simulated-drift.ts'

export interface SimulatedRigOptions extends SimulatedDrift {
  product: Product
  /** Decides every board and every noise; the same seed gives the same recordings. */
  seed?: number
  /** How the parts of a board lie within their tolerances; `none` is the board as drawn. */
  spread?: Spread
  /** What is wrong with a board, by its serial number. */
  faultsOf?: (serial: string) => readonly Fault[]
  /** What is wrong with its contacts only until it is listened to a second time: by then it was pressed down. */
  looseContactOf?: (serial: string) => readonly Fault[]
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
  const [{ drawBoard }, { simulateRecording }, { withSupply }] = await Promise.all([
    import('../circuit/draw-board.ts'),
    import('../circuit/simulate-recording.ts'),
    import('../circuit/with-supply.ts'),
  ])
  return { drawBoard, simulateRecording, withSupply }
}
type Twin = Awaited<ReturnType<typeof loadTwin>>

/** Silence around a short sound, as a rig with a sound interface has it, s. */
const silenceAroundS = 0.1

/** How often progress is told, ms. */
const tellEveryMs = 50

/**
 * A rig that is not there: for each serial number a board of the product is drawn with its tolerances, and the sweep goes
 * through its circuit, op-amps clipping, with noise and hum. What comes back is a 24-bit recording that begins somewhat
 * before the sweep, as a real one does, and it goes through the whole analysis like any other.
 * The board that is called REFERENCE is the one as drawn, without a fault. Where a drift is asked for, the rig itself changes
 * the recording.
 * Errors: setting-unknown, bad-circuit (a fault that the circuit cannot have).
 */
export function makeSimulatedRig(options: SimulatedRigOptions): RigDriver {
  const { seed = 1, speed = 1 } = options
  let runs = 0
  let sounds = 0
  const boardOf = makeBoards(options, seed)
  const contactOf = makeSimulatedContact({ ...options, seed })
  const looseNow = makeLooseContacts(options)
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
      const { setting, sweep } = request
      const rigNow = contactOf(`${request.serial} ${request.setUp ?? ''}`)
      const runSeed = seedOf(seed, `run ${runs}`)
      const audio = record({ ...options, ...startedEarly(sweep, runSeed), twin, board, setting, rigNow, seed: runSeed })
      const durationMs = (1000 * request.sweep.samples.length) / request.sweep.rateHz / speed
      await tellProgress(request, { beganMs, durationMs })
      return { audio, origin: `simulated rig, ${request.setting}` }
    },
    async record(sound) {
      const { board: which, signal, rateHz } = sound
      signal?.throwIfAborted()
      if (!which) throw new Error('a simulated rig must be told which board it listens to')
      const beganMs = performance.now()
      const twin = await loadTwin()
      sounds++
      const board = boardOf(which.serial, twin, looseNow(which.serial), which.supplyV)
      const samples = inSilence(sound)
      const runSeed = seedOf(seed, `sound ${sounds}`)
      const audio = record({ ...options, twin, board, setting: which.setting, samples, rateHz, seed: runSeed })
      const leftMs = beganMs + (1000 * samples.length) / rateHz / speed - performance.now()
      if (leftMs > 0) await pause(leftMs, signal)
      signal?.throwIfAborted()
      return audio
    },
  }
}

/** The boards of a rig, drawn once for each serial number and supply. */
function makeBoards(options: SimulatedRigOptions, seed: number) {
  const boards = new Map<string, Board>()
  return (serial: string, twin: Twin, contact: readonly Fault[] = [], supplyV?: number): Board => {
    const key = supplyV === undefined ? serial : `${serial} at ${supplyV} V`
    const known = boards.get(key)
    if (known && contact.length === 0) return known
    const isReference = serial === referenceBoardSerial
    const faults = [...(isReference ? [] : (options.faultsOf?.(serial) ?? [])), ...contact]
    const product = supplyV === undefined ? options.product : twin.withSupply(options.product, supplyV)
    const spread = isReference ? 'none' : options.spread
    const board = twin.drawBoard({ product, seed: seedOf(seed, serial), spread, faults })
    if (contact.length === 0) boards.set(key, board)
    return board
  }
}

/** What is loose about a board the first time that it is listened to, and not again. */
function makeLooseContacts(options: SimulatedRigOptions) {
  const pressed = new Set<string>()
  return (serial: string): readonly Fault[] => {
    if (pressed.has(serial)) return []
    pressed.add(serial)
    return options.looseContactOf?.(serial) ?? []
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

/** What the interface hands over: full scale held, 24 bits. */
function record(
  options: SimulatedRigOptions & {
    twin: Twin
    board: Board
    setting: string
    samples: Float64Array
    rateHz: number
    rigNow?: Required<RigDrift>
    seed: number
  },
): WaveAudio {
  const { product, board, hum, clip, boardNoise, seed, noiseDbfs = usualNoiseDbfs, setting, rateHz } = options
  const samples = options.twin.simulateRecording({
    product,
    board,
    setting,
    sweepSamples: options.samples,
    rateHz,
    noiseDbfs,
    hum,
    clip,
    boardNoise,
    seed,
  })
  if (options.rigNow) applyDrift(samples, { ...options.rigNow, rateHz })
  const fullScale = 2 ** 23
  const held = samples.map((x) => Math.min(fullScale - 1, Math.max(-fullScale, Math.round(x * fullScale))) / fullScale)
  return { rateHz, channels: [held], sampleFormat: 'pcm24', bits: 24, truncated: false }
}

const earlyAtMostS = 0.1

/** The recording begins up to a tenth of a second before the sweep. */
function startedEarly({ samples, rateHz }: SweepSignal, seed: number): { samples: Float64Array; rateHz: number } {
  const early = Math.round(new RandomSource(seedOf(seed, 'start')).uniform() * earlyAtMostS * rateHz)
  const played = new Float64Array(early + samples.length)
  played.set(samples, early)
  return { samples: played, rateHz }
}

function inSilence({ samples, rateHz }: RigSound): Float64Array {
  const silence = Math.round(silenceAroundS * rateHz)
  const played = new Float64Array(samples.length + 2 * silence)
  played.set(samples, silence)
  return played
}
