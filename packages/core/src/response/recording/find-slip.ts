import { type BlockPhases, fewestBlocks, type PhaseStep, phaseStepAt, wrapped } from './phase-step.ts'

/** A place where the recording lost samples, or played some twice. */
export interface Slip {
  /** Index of the block of the sweep in which it lies. */
  block: number
  frequencyHz: number
  /** Samples lost; negative when samples were added. Good to a few per cent. */
  lostSamples: number
}

/** How sharp the evidence must be. */
export interface SlipLimits {
  /** Least step of the delay that counts, samples. */
  leastSamples: number
  /** Least jump of the phase that counts at low frequencies, where a delay cannot be read, rad. */
  leastJumpRad: number
  /** Below this frequency the phase jump decides, above it the delay step, Hz. */
  delayFromHz: number
}

/** Reach of the lines, in ln f: a step is the same within both, the bend of a response is a third within the shorter. */
const shortSpan = 0.07
const longSpan = 0.2
/** Phases that scatter more than this about their lines prove nothing, rad. */
const largestRestRad = 0.35
/** A step must be this many times its own uncertainty. */
const sureFactor = 6

/**
 * Finds the clearest slip in a phase track, on positive evidence only: the phase lines on both sides of a block must be
 * straight and must not meet, the step must be there as sharply in a narrow look as in a wide one, and it must be there
 * in every one of the given readings of the same blocks (with and without the minimum phase of the amplitudes taken out).
 * Source: own method; what a lost block does to phase and delay is plain arithmetic. Rates of detection and of false
 * alarm are measured in the tests.
 * @param options.readings phases of the same blocks, read in different ways
 * @param options.isLoud whether a block stands clear of the noise
 */
export function findSlip(options: {
  readings: readonly BlockPhases[]
  isLoud: (block: number) => boolean
  rateHz: number
  limits: SlipLimits
}): Slip | null {
  const { readings, limits, rateHz, isLoud } = options
  const count = readings[0].frequencyHz.length
  let best: (Slip & { sureness: number }) | null = null
  for (let block = fewestBlocks; block + 1 + fewestBlocks <= count; block++) {
    if (!isLoud(block) || !isFine(readings[0].frequencyHz, block) || !isKnown(readings[0], block)) continue
    const candidate = slipAt({ readings, block, rateHz, limits })
    if (candidate && (!best || candidate.sureness > best.sureness)) best = { block, ...candidate }
  }
  return best && { block: best.block, frequencyHz: best.frequencyHz, lostSamples: best.lostSamples }
}

/** A response may bend within this much of ln f on each side without a line through it becoming a lie. */
const widestSide = 0.3

/** Whether the blocks beside this one are narrow: at the low end of a short sweep one cycle spans half an octave. */
const isFine = (frequencyHz: Float64Array, block: number): boolean =>
  Math.log(frequencyHz[block] / frequencyHz[block - fewestBlocks]) < widestSide

/** The phases beside a block must be known this well, rad: in noise alone any line fits three of them now and then. */
const knownRad = 0.3

const isKnown = ({ uncertaintyRad }: BlockPhases, block: number): boolean => {
  for (let k = 1; k <= fewestBlocks; k++)
    if (uncertaintyRad[block - k] > knownRad || uncertaintyRad[block + k] > knownRad) return false
  return true
}

type Candidate = Omit<Slip, 'block'> & { jumpRad: number; sureness: number }

function slipAt(options: {
  readings: readonly BlockPhases[]
  block: number
  rateHz: number
  limits: SlipLimits
}): Candidate | null {
  const { readings, block, rateHz, limits } = options
  const byDelay: Candidate[] = []
  const byJump: Candidate[] = []
  const looks = [shortSpan, longSpan].flatMap((span) => readings.map((phases) => ({ span, phases })))
  for (const [k, look] of looks.entries()) {
    const step = phaseStepAt({ ...look, block })
    const delay = delayCandidate(step, rateHz, limits)
    const jump = jumpCandidate(step, rateHz, limits)
    if (delay) byDelay.push(delay)
    if (jump) byJump.push(jump)
    // Most blocks are sound and show it in the first look.
    if (byDelay.length <= k && byJump.length <= k) return null
  }
  const least = (candidates: Candidate[]) => candidates.reduce((a, b) => (b.sureness < a.sureness ? b : a))
  if (byDelay.length === looks.length && byDelay.every((c) => sameDelay(c, byDelay[0]))) return least(byDelay)
  if (byJump.length === looks.length && byJump.every((c) => sameJump(c, byJump[0]))) return least(byJump)
  return null
}

/** Share by which the looks at one step may differ. */
const likeness = 0.35

const sameDelay = (a: Candidate, b: Candidate): boolean =>
  Math.abs(a.lostSamples - b.lostSamples) <= likeness * Math.abs(b.lostSamples)

const sameJump = (a: Candidate, b: Candidate): boolean =>
  Math.abs(wrapped(a.jumpRad - b.jumpRad)) <= likeness * Math.abs(b.jumpRad)

/** A step of the delay; at low frequencies, where circuits have delays of their own, it must be larger. */
function delayCandidate(step: PhaseStep, rateHz: number, limits: SlipLimits): Candidate | null {
  const { frequencyHz, jumpRad } = step
  const lostSamples = -step.delayStepS * rateHz
  const size = Math.abs(lostSamples)
  const uncertainty = step.delayStepUncertaintyS * rateHz
  const least = limits.leastSamples * Math.max(1, limits.delayFromHz / frequencyHz)
  if (size < least || size < sureFactor * uncertainty || step.restRad > largestRestRad) return null
  return { frequencyHz, lostSamples, jumpRad, sureness: size / uncertainty }
}

/** A jump of the phase at low frequencies, where a lost block turns it by less than a turn. */
function jumpCandidate(step: PhaseStep, rateHz: number, limits: SlipLimits): Candidate | null {
  const { frequencyHz, jumpRad } = step
  const size = Math.abs(jumpRad)
  if (frequencyHz > limits.delayFromHz || size < limits.leastJumpRad) return null
  if (size < sureFactor * step.jumpUncertaintyRad || step.restRad > largestRestRad) return null
  const lostSamples = (jumpRad / (2 * Math.PI * frequencyHz)) * rateHz
  return { frequencyHz, lostSamples, jumpRad, sureness: size / step.jumpUncertaintyRad }
}
