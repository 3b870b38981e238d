import type { PhaseTrack } from './phase-track.ts'

/** A stretch of a sweep in which the recording suddenly does something else. */
export interface Burst {
  startSample: number
  endSample: number
}

/**
 * How many times the misfit must stand above that of the blocks before it and after it. Measured on 120 clean takes of the
 * circuits in the tests: at most 3 times from 150 Hz up (a bent wave whose harmonics fold), at most 5.5 times below, where a
 * resonance is crossed within a few blocks.
 */
const leastRise = 4
const leastRiseInBass = 8
const bassBelowHz = 150
/** Misfits below this share of the amplitude, four times over, move no curve: they are not looked at. */
const harmlessShare = 0.005
/** Blocks on a side that tell what is usual there, past the next one, which the damage may reach into. */
const sideBlocks = { from: 2, to: 9 }
/** Longest damage that is looked for as one, s: beyond it the slip check or the eye finds two ends. */
const longestS = 0.1
/** Blocks this far under the loudest are fades and stop-bands. */
const loudShare = 1e-3

/**
 * Finds where a recording leaves the sweep at once and comes back to it at once: a block that was played empty or twice
 * with the time kept, a crackle of a loose contact. The samples themselves tell nothing of it once they went through a
 * board and a converter; but a sound response changes over many blocks, while this stands in one or a few.
 * @param options.rateHz sample rate of the track's samples
 * @param options.step their step, full scale = 1: what is lower is rounding
 */
export function findBurst(options: { track: PhaseTrack; rateHz: number; step: number }): Burst | null {
  const { track, rateHz, step } = options
  const { frequencyHz, atSample } = track
  const misfits = misfitOf(track)
  const loudest = track.amplitude.reduce((a, b) => Math.max(a, b), 0)
  const above = (k: number, side: -1 | 1) =>
    riseOver({ track, misfits, loudest, step, k, side }) >= (frequencyHz[k] < bassBelowHz ? leastRiseInBass : leastRise)
  for (let k = 0; k < misfits.length; k++) {
    if (!above(k, -1)) continue
    let last = -1
    for (let m = k; m < misfits.length && (m <= k + 1 || atSample[m] - atSample[k] < longestS * rateHz); m++)
      if (above(m, 1)) last = m
    if (last >= 0) return { startSample: edge(track, k, -1), endSample: edge(track, last, 1) }
  }
  return null
}

/** What of each block does not follow the sweep, with what of the amplitude and phase no smooth change explains. */
function misfitOf({ amplitude, phaseRad, restRms }: PhaseTrack): Float64Array {
  const real = amplitude.map((a, k) => a * Math.cos(phaseRad[k]))
  const imaginary = amplitude.map((a, k) => a * Math.sin(phaseRad[k]))
  return restRms.map((rest, k) => {
    const j = Math.min(amplitude.length - 2, Math.max(1, k))
    const bend = (v: Float64Array) => (v[j - 1] - 2 * v[j] + v[j + 1]) / 2
    return Math.hypot(rest, bend(real) / Math.SQRT2, bend(imaginary) / Math.SQRT2)
  })
}

/** Misfit of a block over the usual one on a side of it; 0 where the sweep is not loud or the track ends. */
function riseOver(options: {
  track: PhaseTrack
  misfits: Float64Array
  loudest: number
  step: number
  k: number
  side: -1 | 1
}): number {
  const { misfits, loudest, step, k, side } = options
  const { amplitude } = options.track
  const usual: number[] = []
  for (let j = sideBlocks.from; j <= sideBlocks.to; j++) {
    const at = k + side * j
    if (at < 0 || at >= misfits.length) return 0
    usual.push(misfits[at])
  }
  // The amplitude beside it counts too: within the damage it may be nothing.
  const amplitudeThere = Math.max(
    amplitude[k],
    amplitude[k + side * sideBlocks.from],
    amplitude[k + side * sideBlocks.to],
  )
  if (amplitudeThere < loudShare * loudest) return 0
  usual.sort((a, b) => a - b)
  return misfits[k] / (usual[usual.length >> 1] + harmlessShare * amplitudeThere + step)
}

/** The border of a block towards a side, sample. */
function edge({ atSample }: PhaseTrack, k: number, side: -1 | 1): number {
  const next = Math.min(atSample.length - 1, Math.max(0, k + side))
  return Math.round((atSample[k] + atSample[next]) / 2)
}
