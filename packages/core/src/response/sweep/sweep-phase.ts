import { phaseTrack } from '../recording/phase-track.ts'
import type { SweepBlock, SweepPhase } from './sweep-blocks.ts'
import type { SweepSignal } from './sweep-signal.ts'

/**
 * Share of sqrt(L / f) that a block lasts. A sweep passes a frequency within about sqrt(L / f) seconds, so blocks of a
 * sixth of that see every change a response can make, and a lost block of 1,000 samples still leaves them coherent.
 */
const blockPart = 0.15
/** Shares of run-in and run-out, next to the band, that are at a useful level. */
const usedRunIn = 0.6
const usedRunOut = 0.5

/** A block is filled by a stimulus of at least this share of its greatest level, with at most this share beside it. */
const filledShare = 0.75
const strayShare = 0.06

const known = new WeakMap<SweepSignal, SweepPhase>()

/** The phase of a sweep, kept with it; null for a stimulus that is no exponential sweep. */
export function sweepPhase(sweep: SweepSignal): SweepPhase | null {
  if (sweep.rateS === null || sweep.bodies.length === 0) return null
  const found = known.get(sweep)
  if (found) return found
  const made = makePhase(sweep, sweep.rateS)
  known.set(sweep, made)
  return made
}

function makePhase(sweep: SweepSignal, rateS: number): SweepPhase {
  const { rateHz, runInS } = sweep
  const { fromHz } = sweep.settings
  const length = sweep.bodies[0].endSample - sweep.bodies[0].startSample
  const sine = new Float64Array(length)
  const cosine = new Float64Array(length)
  const radians = 2 * Math.PI * fromHz * rateS
  for (let i = 0; i < length; i++) {
    const phase = radians * Math.exp((i / rateHz - runInS) / rateS)
    sine[i] = Math.sin(phase)
    cosine[i] = Math.cos(phase)
  }
  const phase = { rateS, sine, cosine, blocks: cutBlocks({ sweep, rateS, length }) }
  return { ...phase, blocks: followedBlocks(sweep, phase) }
}

/** The blocks from the first to the last that the stimulus itself fills: another maker's sweep may fade where ours does not. */
function followedBlocks({ samples, bodies }: SweepSignal, phase: SweepPhase): SweepBlock[] {
  const { amplitude, restRms } = phaseTrack({ phase, samples, bodyStart: bodies[0].startSample })
  const highest = amplitude.reduce((a, b) => Math.max(a, b), 0)
  const isFilled = (a: number, k: number) => a > filledShare * highest && restRms[k] < strayShare * a
  return phase.blocks.slice(amplitude.findIndex(isFilled), amplitude.findLastIndex(isFilled) + 1)
}

function cutBlocks(options: { sweep: SweepSignal; rateS: number; length: number }): SweepBlock[] {
  const { sweep, rateS, length } = options
  const { fromHz, durationS } = sweep.settings
  const cyclesAtStart = fromHz * rateS
  const cycleAt = (t: number) => cyclesAtStart * Math.exp(t / rateS)
  const sampleAt = (cycle: number) =>
    Math.round((rateS * Math.log(cycle / cyclesAtStart) + sweep.runInS) * sweep.rateHz)
  const lastCycle = cycleAt(durationS + usedRunOut * sweep.runOutS)
  const blocks: SweepBlock[] = []
  let cycle = Math.ceil(cycleAt(-usedRunIn * sweep.runInS))
  while (cycle < lastCycle) {
    const here = cycle / rateS
    const cycles = Math.max(1, Math.round(here * blockPart * Math.sqrt(rateS / here)))
    const block = {
      startSample: sampleAt(cycle),
      endSample: sampleAt(cycle + cycles),
      frequencyHz: (cycle + cycles / 2) / rateS,
    }
    if (block.endSample > length) break
    blocks.push(block)
    cycle += cycles
  }
  return blocks
}
