import type { SweepPhase } from '../sweep/sweep-blocks.ts'

/** How a recording follows the sweep, block by block: amplitude and phase against the stimulus, and what is left over. */
export interface PhaseTrack {
  frequencyHz: Float64Array
  /** Sample of the recording in the middle of the block. */
  atSample: Float64Array
  /** Amplitude of the part that follows the sweep, full scale = 1. */
  amplitude: Float64Array
  /** Its phase against the stimulus, rad, within -pi to pi. */
  phaseRad: Float64Array
  /** Standard uncertainty of that phase from what is left over in the block, rad. */
  phaseUncertaintyRad: Float64Array
  /** Root mean square of what does not follow the sweep (noise, harmonics, damage), full scale = 1. */
  restRms: Float64Array
}

/**
 * Fits a sine, a cosine and an offset of the sweep's own phase to every block of a recording (least squares).
 * @param options.bodyStart sample of the recording at which the body begins; blocks outside the recording are left out
 */
export function phaseTrack(options: { phase: SweepPhase; samples: Float64Array; bodyStart: number }): PhaseTrack {
  const { phase, samples, bodyStart } = options
  const blocks = phase.blocks.filter((b) => b.startSample + bodyStart >= 0 && b.endSample + bodyStart <= samples.length)
  const n = blocks.length
  const track: PhaseTrack = {
    frequencyHz: new Float64Array(n),
    atSample: new Float64Array(n),
    amplitude: new Float64Array(n),
    phaseRad: new Float64Array(n),
    phaseUncertaintyRad: new Float64Array(n),
    restRms: new Float64Array(n),
  }
  blocks.forEach((block, k) => {
    const fit = fitBlock(phase, samples, bodyStart, block.startSample, block.endSample)
    track.frequencyHz[k] = block.frequencyHz
    track.atSample[k] = bodyStart + 0.5 * (block.startSample + block.endSample)
    track.amplitude[k] = Math.hypot(fit.sine, fit.cosine)
    track.phaseRad[k] = Math.atan2(fit.cosine, fit.sine)
    track.restRms[k] = fit.restRms
    const count = block.endSample - block.startSample
    track.phaseUncertaintyRad[k] = fit.restRms / Math.max(1e-300, track.amplitude[k] * Math.sqrt(0.5 * count))
  })
  return track
}

/** Least squares of a sin + b cos + c; over whole cycles the three are orthogonal but for the sweep's own bend. */
function fitBlock(phase: SweepPhase, samples: Float64Array, bodyStart: number, from: number, to: number) {
  const { sine, cosine } = phase
  const n = to - from
  let s = 0
  let c = 0
  let ss = 0
  let sc = 0
  let y0 = 0
  let ys = 0
  let yc = 0
  let yy = 0
  for (let i = from; i < to; i++) {
    const y = samples[i + bodyStart]
    s += sine[i]
    c += cosine[i]
    ss += sine[i] * sine[i]
    sc += sine[i] * cosine[i]
    y0 += y
    ys += y * sine[i]
    yc += y * cosine[i]
    yy += y * y
  }
  // With the means taken out, two unknowns remain.
  const cc = n - ss - (c * c) / n
  const cross = sc - (s * c) / n
  const square = ss - (s * s) / n
  const bs = ys - (s * y0) / n
  const bc = yc - (c * y0) / n
  const det = square * cc - cross * cross
  const a = (bs * cc - bc * cross) / det
  const b = (bc * square - bs * cross) / det
  const rest = yy - (y0 * y0) / n - a * bs - b * bc
  return { sine: a, cosine: b, restRms: Math.sqrt(Math.max(0, rest) / Math.max(1, n - 3)) }
}
