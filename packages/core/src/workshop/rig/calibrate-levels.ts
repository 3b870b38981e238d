import { BoardwrightError } from '../../model/error.ts'
import type { LevelCalibration, RigSettings } from '../../model/rig.ts'
import { usualRigName } from '../../model/rig.ts'
import { fullScaleFromData, fullScaleFromReading } from '../../response/level/level-calibration.ts'
import type { VerbContext } from '../verb-context.ts'
import type { CalibrateLevels } from './rig-verbs.ts'
import { makeVersion, needRig } from './save-rig-settings.ts'

/** Full scale of any sound interface lies between these, V peak; a reading beyond is a slip (mV for V). Common practice. */
const leastFullScaleV = 0.05
const mostFullScaleV = 60

/**
 * Finds what full scale stands for in volts, from one tone read by a voltmeter at the plug, or from the interface's data.
 * Errors: bad-argument for a reading that no interface can give, no-rig.
 */
export function calibrateLevels(context: VerbContext, { name = usualRigName, from }: CalibrateLevels): RigSettings {
  needRig(context, { name })
  const found = from.kind === 'data' ? fromData(from) : fromReading(from)
  needPlausible(found.fullScaleOutV, 'output')
  needPlausible(found.fullScaleInV, 'input')
  const calibration: LevelCalibration = { calibratedAt: context.clock.now().toISOString(), ...found }
  return makeVersion(context, { name, verb: 'calibrate-levels', change: () => ({ calibration }) })
}

type Found = Omit<LevelCalibration, 'calibratedAt'>

function fromReading(from: Extract<CalibrateLevels['from'], { kind: 'voltmeter' }>): Found {
  const { readingV, reading } = from
  const fullScale = (levelDbfs: number) => fullScaleFromReading({ readingV, reading, levelDbfs }).fullScaleV
  return {
    fullScaleOutV: fullScale(from.playedDbfs),
    // The same voltage stands at the input, which recorded it at a level of its own.
    fullScaleInV: fullScale(from.recordedDbfs),
    method: `voltmeter at ${from.frequencyHz} Hz`,
  }
}

function fromData({ output, input }: Extract<CalibrateLevels['from'], { kind: 'data' }>): Found {
  return {
    fullScaleOutV: fullScaleFromData(output).fullScaleV,
    fullScaleInV: fullScaleFromData(input).fullScaleV,
    method: 'data sheet of the interface',
  }
}

function needPlausible(fullScaleV: number, plug: 'output' | 'input'): void {
  if (fullScaleV >= leastFullScaleV && fullScaleV <= mostFullScaleV) return
  throw new BoardwrightError(
    'bad-argument',
    `Full scale of the ${plug} would be ${Number(fullScaleV.toPrecision(3))} V peak, which no sound interface has.`,
    { remedy: 'Look at the unit of the reading (V or mV, r.m.s. or peak) and at the plug, then type it again.' },
  )
}
