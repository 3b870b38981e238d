/** What straight lines through the phases on both sides of one block say about a step in it. */
export interface PhaseStep {
  frequencyHz: number
  /** Phase behind minus phase before, both read in the middle of the block, rad, within -pi to pi. */
  jumpRad: number
  jumpUncertaintyRad: number
  /** Delay behind minus delay before, s. */
  delayStepS: number
  delayStepUncertaintyS: number
  /** Root mean square distance of the phases from their lines, rad: both sides. */
  restRad: number
}

/** Phases per block that are smooth where the recording is sound, and how well each is known. */
export interface BlockPhases {
  frequencyHz: Float64Array
  phaseRad: Float64Array
  uncertaintyRad: Float64Array
  /** The turn from the block before, as a vector as long as it is certain. */
  turnRe: Float64Array
  turnIm: Float64Array
}

/** Blocks on each side that a line needs. */
export const fewestBlocks = 3
/** No phase counts as better known than this, rad: a response bends a little within the span of a line. */
const phaseFloorRad = 0.004

/** An angle within -pi to pi. */
export const wrapped = (rad: number): number => rad - 2 * Math.PI * Math.round(rad / (2 * Math.PI))

/** Phases made ready for looking at steps. */
export function blockPhases(
  phases: Pick<BlockPhases, 'frequencyHz' | 'phaseRad' | 'uncertaintyRad'>,
  floorRad = phaseFloorRad,
): BlockPhases {
  const { frequencyHz, phaseRad } = phases
  const uncertaintyRad = phases.uncertaintyRad.map((u) => Math.hypot(u, floorRad))
  const turnRe = new Float64Array(phaseRad.length)
  const turnIm = new Float64Array(phaseRad.length)
  for (let k = 1; k < phaseRad.length; k++) {
    const weight = 1 / (uncertaintyRad[k] ** 2 + uncertaintyRad[k - 1] ** 2)
    turnRe[k] = weight * Math.cos(phaseRad[k] - phaseRad[k - 1])
    turnIm[k] = weight * Math.sin(phaseRad[k] - phaseRad[k - 1])
  }
  return { frequencyHz, phaseRad, uncertaintyRad, turnRe, turnIm }
}

/**
 * Looks for a step of phase and delay within one block: the block itself is left out, so that it does not matter where in
 * it a break lies. A dropped block of N samples turns the phase by +2 pi f N / rate and takes N / rate from the delay.
 * @param options.block index of the block; at least three blocks must stand on each side
 * @param options.span how far the lines reach on each side, in ln f
 */
export function phaseStepAt(options: { phases: BlockPhases; block: number; span: number }): PhaseStep {
  const { phases, block, span } = options
  const { frequencyHz } = phases
  const centreHz = frequencyHz[block]
  let from = block - fewestBlocks
  while (from > 0 && frequencyHz[from - 1] > centreHz * Math.exp(-span)) from--
  let to = block + 1 + fewestBlocks
  while (to < frequencyHz.length && frequencyHz[to] < centreHz * Math.exp(span)) to++
  const before = fitLine({ phases, from, to: block, centreHz })
  const behind = fitLine({ phases, from: block + 1, to, centreHz })
  return {
    frequencyHz: centreHz,
    jumpRad: wrapped(behind.phaseRad - before.phaseRad),
    jumpUncertaintyRad: Math.hypot(before.phaseUncertaintyRad, behind.phaseUncertaintyRad),
    delayStepS: behind.delayS - before.delayS,
    delayStepUncertaintyS: Math.hypot(before.delayUncertaintyS, behind.delayUncertaintyS),
    restRad: Math.hypot(before.restRad, behind.restRad) / Math.SQRT2,
  }
}

interface LineOptions {
  phases: BlockPhases
  from: number
  to: number
  centreHz: number
}

/** Weighted straight line of phase over frequency: its value at the centre, its slope as a delay, and what is left. */
function fitLine(options: LineOptions) {
  const { phases, from, to, centreHz } = options
  const { frequencyHz, phaseRad, uncertaintyRad } = phases
  const slope = typicalSlope(options)
  let w0 = 0
  let wx = 0
  let wxx = 0
  let wy = 0
  let wxy = 0
  let wyy = 0
  let previous = 0
  const first = phaseRad[from]
  for (let k = from; k < to; k++) {
    const expected = k === from ? 0 : previous + slope * (frequencyHz[k] - frequencyHz[k - 1])
    const y = expected + wrapped(phaseRad[k] - first - expected)
    previous = y
    const x = frequencyHz[k] - centreHz
    const w = 1 / uncertaintyRad[k] ** 2
    w0 += w
    wx += w * x
    wxx += w * x * x
    wy += w * y
    wxy += w * x * y
    wyy += w * y * y
  }
  const det = w0 * wxx - wx * wx
  const phase = (wxx * wy - wx * wxy) / det
  const perHz = (w0 * wxy - wx * wy) / det
  const rest = Math.max(0, wyy - phase * wy - perHz * wxy)
  // Where the phases scatter more than their own uncertainty says, the scatter counts.
  const scatter = Math.max(1, Math.sqrt(rest / Math.max(1, to - from - 2)))
  return {
    phaseRad: phase + first,
    phaseUncertaintyRad: scatter * Math.sqrt(wxx / det),
    delayS: -perHz / (2 * Math.PI),
    delayUncertaintyS: (scatter * Math.sqrt(w0 / det)) / (2 * Math.PI),
    restRad: Math.sqrt(rest / w0),
  }
}

/** Phase per hertz from block to block, as the angle of the mean turn: no unwrapping needed. */
function typicalSlope({ phases, from, to }: LineOptions): number {
  const { frequencyHz, turnRe, turnIm } = phases
  let re = 0
  let im = 0
  for (let k = from + 1; k < to; k++) {
    re += turnRe[k]
    im += turnIm[k]
  }
  return (Math.atan2(im, re) * (to - 1 - from)) / (frequencyHz[to - 1] - frequencyHz[from])
}
