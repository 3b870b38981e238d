import { type HardPlan, type HardSupply, hardLevels } from '../../model/hard-plan.ts'
import type { HardAtSupply } from '../../model/hard-signature.ts'
import type { TestPlan } from '../../model/product.ts'
import type { SweepSettings } from '../../model/sweep.ts'
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
  sweepLevelV: number
  fullScaleV: number
}

type PlanWithHard = Pick<TestPlan, 'levelV' | 'stimulus'> & { hard: HardPlan }

/** The stimuli of a plan at a sample rate (Hz), the plan's own when left out. Errors: bad-argument. */
export function makeHardStimuli(plan: PlanWithHard, rateHz = plan.stimulus.rateHz): HardStimuli {
  const { fullScaleV, sweepDbfs, ladderDbfs } = hardLevels(plan, plan.hard)
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
    sweepLevelV: fullScaleV * 10 ** (sweepDbfs / 20),
    fullScaleV,
  }
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
  })
  const tones = readLadder({
    ladder: stimuli.ladder,
    samples: ladder.channels[channel],
    rateHz: ladder.rateHz,
    fullScaleV: stimuli.fullScaleV,
  })
  return { ...supply, findings: [...readSweep.findings, ...tones.findings], steps: tones.steps, sweep: readSweep.sweep }
}
