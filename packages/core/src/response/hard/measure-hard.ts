import { BoardwrightError } from '../../model/error.ts'
import { formatVoltage } from '../../model/format.ts'
import { type HardPlan, type HardSupply, hardLevels } from '../../model/hard-plan.ts'
import type { HardAtSupply } from '../../model/hard-signature.ts'
import type { TestPlan } from '../../model/product.ts'
import type { SweepSettings } from '../../model/sweep.ts'
import { voltageGainOffsetDb } from '../level/level-calibration.ts'
import { makeSweep } from '../sweep/sweep.ts'
import type { SweepSignal } from '../sweep/sweep-signal.ts'
import type { WaveAudio } from '../wave/wave-format.ts'
import { type HardLadder, type LadderSettings, makeHardLadder } from './hard-ladder.ts'
import { readHardSweep } from './read-hard-sweep.ts'
import { readLadder } from './read-ladder.ts'

/** What is played to press a board hard, once at each supply. */
export interface HardStimuli {
  sweep: SweepSignal
  ladder: HardLadder
  ladderSettings: LadderSettings
  /** Peak of the sweep at the board's input, V. */
  sweepLevelV: number
  /** What full scale stands for at the board's input and at its output, V (peak). */
  fullScaleOutV: number
  fullScaleInV: number
}

/** How a rig plays: its rate, and what full scale stands for there. */
export interface HardPlayback {
  rateHz?: number
  calibration?: { fullScaleOutV: number; fullScaleInV: number } | null
}

type PlanWithHard = Pick<TestPlan, 'levelV' | 'stimulus'> & { hard: HardPlan }

/**
 * The stimuli of a plan for a rig. One whose levels are calibrated plays so that the board gets the voltages of the plan,
 * whatever full scale is there; for any other, full scale is what the test plan says.
 * Errors: bad-argument, level-too-high.
 */
export function makeHardStimuli(plan: PlanWithHard, { rateHz = plan.stimulus.rateHz, calibration }: HardPlayback = {}) {
  const levels = hardLevels(plan, plan.hard)
  const fullScaleOutV = calibration?.fullScaleOutV ?? levels.fullScaleV
  const shiftDb = 20 * Math.log10(levels.fullScaleV / fullScaleOutV)
  const sweepDbfs = levels.sweepDbfs + shiftDb
  const ladderDbfs = levels.ladderDbfs.map((level) => level + shiftDb)
  needRoom(Math.max(sweepDbfs, ...ladderDbfs), fullScaleOutV)
  const { durationS } = plan.hard.sweep
  const settings: SweepSettings = {
    ...plan.stimulus,
    rateHz,
    durationS,
    levelDbfs: sweepDbfs,
    repeats: 1,
    markers: true,
  }
  const ladderSettings = { rateHz, tonesHz: plan.hard.tonesHz, levelsDbfs: ladderDbfs }
  return {
    sweep: makeSweep(settings),
    ladder: makeHardLadder(ladderSettings),
    ladderSettings,
    sweepLevelV: Number((fullScaleOutV * 10 ** (sweepDbfs / 20)).toPrecision(6)),
    fullScaleOutV,
    fullScaleInV: calibration?.fullScaleInV ?? levels.fullScaleV,
  } satisfies HardStimuli
}

function needRoom(levelDbfs: number, fullScaleOutV: number): void {
  if (levelDbfs <= 1e-9) return
  throw new BoardwrightError(
    'level-too-high',
    `Pressed hard, the board wants ${formatVoltage(fullScaleOutV * 10 ** (levelDbfs / 20))}; the output of the rig gives ${formatVoltage(fullScaleOutV)} at most.`,
  )
}

/**
 * Reads the two recordings of a board at one supply.
 * @param options.channel the response channel, the first unless told
 * @returns findings that refuse a recording stand with the supply; the judge says `repeat` by them
 */
export function measureHard(options: {
  stimuli: HardStimuli
  supply: HardSupply
  sweep: WaveAudio
  ladder: WaveAudio
  channel?: number
}): HardAtSupply {
  const { stimuli, supply, sweep, ladder, channel = 0 } = options
  const readSweep = readHardSweep({
    sweep: stimuli.sweep,
    samples: sweep.channels[channel],
    rateHz: sweep.rateHz,
    levelV: stimuli.sweepLevelV,
    gainOffsetDb: voltageGainOffsetDb(stimuli),
  })
  const tones = readLadder({
    ladder: stimuli.ladder,
    samples: ladder.channels[channel],
    rateHz: ladder.rateHz,
    fullScaleOutV: stimuli.fullScaleOutV,
    fullScaleInV: stimuli.fullScaleInV,
  })
  return { ...supply, findings: [...readSweep.findings, ...tones.findings], steps: tones.steps, sweep: readSweep.sweep }
}
