import type { RigSettings } from '@boardwright/core'
import type { DataLevel } from '@boardwright/core/workshop'
import type { Answers } from '../ask-line.ts'
import { type CommandContext, note } from '../command-context.ts'
import { exitCode } from '../exit-code.ts'
import { withWorkshop } from '../open-workshop.ts'
import { UsageError } from '../report-error.ts'
import { type RigOptions, withRig } from '../session/setup/on-command-line.ts'
import { keepData, keepReading, playLevelTone, readingTimeS, type SetUp } from '../session/setup/steps.ts'
import { readDataLevel, readVolts } from '../session/setup/typed-level.ts'
import { makeSoundRig } from '../session/sound-rig.ts'
import { tellRig } from './rig-show.ts'

interface RigCalibrateOptions extends RigOptions {
  reading?: number
  as: 'rms' | 'peak' | 'peak-to-peak'
  dataOutput?: string
  dataInput?: string
}

const quickS = 1

async function byVoltmeter(
  context: CommandContext,
  options: RigCalibrateOptions,
  setUp: SetUp & { signal: AbortSignal },
  answers: Answers,
): Promise<RigSettings> {
  const isAsked = options.reading === undefined
  if (isAsked) note(context, `A tone of 200 Hz plays for ${readingTimeS} seconds: read the voltmeter (AC volts).`)
  const heard = await playLevelTone(setUp, isAsked ? readingTimeS : quickS)
  let readingV = options.reading
  while (readingV === undefined) {
    const answer = await answers.line('What did it show, in volts?', setUp.signal)
    readingV = readVolts(answer)
    if (readingV === undefined) note(context, `"${answer}" is no voltage: type it as 0.52 or 520 mV.`)
  }
  return keepReading(setUp, { heard, readingV, reading: options.as })
}

function dataLevel(text: string | undefined, option: string): DataLevel {
  const level = text === undefined ? undefined : readDataLevel(text)
  if (!level) throw new UsageError(`${option} wants a level with its unit, such as "+4 dBu", "6 dBV" or "2 V".`)
  return level
}

/** `boardwright rig calibrate`: what full scale is in volts. */
export async function rigCalibrate(context: CommandContext, options: RigCalibrateOptions) {
  const { dataOutput, dataInput, reading, name } = options
  if (dataOutput === undefined && dataInput === undefined) {
    const how = (setUp: SetUp & { signal: AbortSignal }, answers: Answers) =>
      byVoltmeter(context, options, setUp, answers)
    tellRig(context, await withRig(context, options, how))
    return exitCode.ok
  }
  if (reading !== undefined) throw new UsageError('Give a reading or data, not both.')
  const [output, input] = [dataLevel(dataOutput, '--data-output'), dataLevel(dataInput, '--data-input')]
  return withWorkshop(context, {}, (workshop) => {
    const setUp = { workshop, rig: makeSoundRig({ workshop, name }), product: workshop.product() }
    tellRig(context, keepData(setUp, output, input))
    return exitCode.ok
  })
}
