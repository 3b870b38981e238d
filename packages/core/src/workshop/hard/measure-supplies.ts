import { BoardwrightError } from '../../model/error.ts'
import type { HardPlan } from '../../model/hard-plan.ts'
import type { HardSignature } from '../../model/hard-signature.ts'
import type { TestPlan } from '../../model/product.ts'
import { type HardPlayback, type HardStimuli, makeHardStimuli, measureHard } from '../../response/hard/measure-hard.ts'
import type { HardRecording } from './hard-verbs.ts'

/** The last few stimuli: the sweep keeps its inverse filter, which costs as much as a good part of the analysis. */
const kept = new Map<string, HardStimuli>()
const keptAtMost = 3

/** The stimuli of a plan for a rig, made once. */
export function stimuliOf(plan: TestPlan & { hard: HardPlan }, playback: HardPlayback = {}): HardStimuli {
  const { rateHz = plan.stimulus.rateHz, calibration } = playback
  const key = JSON.stringify([plan.levelV, plan.stimulus, plan.hard, rateHz, calibration])
  const known = kept.get(key)
  if (known) return known
  const made = makeHardStimuli(plan, { rateHz, calibration })
  if (kept.size >= keptAtMost) kept.delete([...kept.keys()][0])
  kept.set(key, made)
  return made
}

/** Measures one visit at every supply of the plan. Errors: supply-missing. */
export function measureSupplies(
  plan: TestPlan & { hard: HardPlan },
  recordings: readonly HardRecording[],
  calibration?: HardPlayback['calibration'],
): HardSignature {
  const { hard } = plan
  for (const { supply } of recordings)
    if (!hard.supplies.some((one) => one.name === supply)) throw unknownSupply(supply, hard)
  const supplies = hard.supplies.map((supply) => {
    const of = recordings.filter((one) => one.supply === supply.name)
    if (of.length !== 1)
      throw new BoardwrightError('supply-missing', `There are ${of.length} visits at "${supply.name}", one is needed.`)
    const rateHz = playableRate(of[0], plan.stimulus.rateHz)
    const stimuli = stimuliOf(plan, { rateHz, calibration })
    return measureHard({ stimuli, supply, sweep: of[0].sweep, ladder: of[0].ladder })
  })
  return { setting: hard.setting, supplies }
}

const unknownSupply = (supply: string, hard: HardPlan) =>
  new BoardwrightError(
    'supply-missing',
    `No supply is called "${supply}"; there are: ${hard.supplies.map((one) => one.name).join(', ')}.`,
  )

/** The recording's rate when stimuli can be made for it; else the plan's, and the reading says that the rate is wrong. */
const playableRate = ({ ladder }: HardRecording, planRateHz: number): number =>
  [44_100, 48_000, 88_200, 96_000, 176_400, 192_000].includes(ladder.rateHz) ? ladder.rateHz : planRateHz
