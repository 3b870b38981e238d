import type { ReferenceSetting, SettingJudgement, SettingMeasurement, Stretch } from '@boardwright/core'
import { formatDb, formatHz } from '@boardwright/core'
import { nearest } from '../chart/nearest.ts'

const signed = (db: number) => formatDb(db, { digits: 2, signed: true })

/** What the charts of a setting say at one point of the curve, in words. */
export function describePoint({
  curve,
  judgement,
  reference,
  aligned,
  index,
}: {
  curve: NonNullable<SettingMeasurement['curve']>
  judgement: SettingJudgement | undefined
  reference: ReferenceSetting | undefined
  aligned: boolean
  index: number
}): string {
  const frequencyHz = curve.frequencyHz[index] ?? 0
  const shift = aligned ? (judgement?.levelDifferenceDb ?? 0) : 0
  const words = [`this unit ${signed((curve.gainDb[index] ?? 0) - shift)}`]
  const there = reference ? nearest(reference.curve.frequencyHz, frequencyHz) : -1
  const referenceDb = reference?.curve.gainDb[there]
  if (referenceDb !== undefined) words.push(`reference ${signed(referenceDb)}`)
  const judged = judgement?.frequencyHz.indexOf(frequencyHz) ?? -1
  if (judgement && judged >= 0) {
    const deviation = (aligned ? judgement.alignedDeviationDb : judgement.deviationDb)[judged] ?? 0
    words.push(
      `deviation ${signed(deviation)} (limits ${signed(judgement.lowerDb[judged] ?? 0)} and ${signed(judgement.upperDb[judged] ?? 0)}, guard band ${formatDb(judgement.guardDb[judged] ?? 0, { digits: 2 })})`,
    )
  } else words.push('not judged here')
  return words.join(', ')
}

const stretchWords = ({ kind, verdict, fromHz, toHz, worstHz, deviationDb, limitDb }: Stretch): string =>
  [
    `${verdict === 'fail' ? 'outside' : 'too close to call'} ${kind} from ${formatHz(fromHz)} to ${formatHz(toHz)}`,
    `worst ${signed(deviationDb)} at ${formatHz(worstHz)}`,
    `limit ${signed(limitDb)}`,
  ].join(', ')

/** A chart of a setting in a sentence, for those who cannot see it. */
export function summariseChart({
  what,
  serial,
  setting,
  judgement,
}: {
  what: string
  serial: string
  setting: string
  judgement: SettingJudgement | undefined
}): string {
  const start = `${what} of ${serial} at ${setting}.`
  if (!judgement || judgement.frequencyHz.length === 0) return `${start} This recording was not judged.`
  if (judgement.stretches.length === 0) return `${start} Inside its limits everywhere.`
  return `${start} ${judgement.stretches.map(stretchWords).join('; ')}.`
}
