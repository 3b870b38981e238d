import {
  formatDb,
  formatDbfs,
  formatRate,
  formatVoltage,
  formatWhen,
  levelUnitsOfPeak,
  type RigSettings,
} from '@boardwright/core'

/** Channels are counted from 1 where a person reads them. */
const channelWords = (channel: number): string => `channel ${channel + 1}`

/** A resistance: 47 Ω, 10 kΩ. */
function formatOhm(ohm: number): string {
  const [value, unit] = ohm >= 1e6 ? [ohm / 1e6, 'MΩ'] : ohm >= 1000 ? [ohm / 1000, 'kΩ'] : [ohm, 'Ω']
  return `${Number(value.toPrecision(3))} ${unit}`
}

/** The rig in the header of the bench. */
export const rigLabelOf = (settings: RigSettings | undefined): string =>
  settings
    ? `${settings.name} ${settings.version}: ${settings.output.device} to ${settings.input.device}, ${formatRate(settings.rateHz)}`
    : 'sound interface, not set up yet'

/** One line of a rig's settings, and whether it has been done. */
export interface RigLine {
  label: string
  value: string
  done: boolean
}

const line = (label: string, value: string | null, missing: string): RigLine =>
  value === null ? { label, value: missing, done: false } : { label, value, done: true }

function fullScale(peakV: number): string {
  const { rmsV, levelDbu } = levelUnitsOfPeak(peakV)
  return `${formatVoltage(rmsV)} r.m.s. (${formatDb(levelDbu, { signed: true }).replace(' dB', ' dBu')})`
}

/** Everything about a rig in lines that a person reads. */
export function rigLines(settings: RigSettings): RigLine[] {
  const { output, input, calibration, correction, noise, hum, sourceResistanceOhm, loadResistanceOhm } = settings
  const loopBack = input.loopBackChannel === null ? '' : `, loop-back on ${channelWords(input.loopBackChannel)}`
  const resistances = [
    sourceResistanceOhm === null ? null : `source ${formatOhm(sourceResistanceOhm)}`,
    loadResistanceOhm === null ? null : `load ${formatOhm(loadResistanceOhm)}`,
  ].filter((one) => one !== null)
  return [
    line('Output', `${output.device}, ${channelWords(output.channel)}`, ''),
    line('Input', `${input.device}, ${channelWords(input.channel)}${loopBack}`, ''),
    line('Rate', `${formatRate(settings.rateHz)}, ${settings.leastBits} bits or more`, ''),
    line('Level limit', formatDbfs(settings.maxLevelDbfs), ''),
    line('Settings are changed', settings.settingChange === 'by-hand' ? 'by hand' : 'by the rig', ''),
    line(
      'Full scale',
      calibration &&
        `output ${fullScale(calibration.fullScaleOutV)}, input ${fullScale(calibration.fullScaleInV)}; ${calibration.method}, ${formatWhen(calibration.calibratedAt)}`,
      'not calibrated: levels are known in dBFS only',
    ),
    line(
      'Loop-back correction',
      correction && `measured ${formatWhen(correction.measuredAt)}, ${gainWords(correction)}`,
      'none: the rig stays in every curve',
    ),
    line(
      'Input noise',
      noise && `${formatDbfs(noise.unweightedDbfs)}, loudest tone ${formatDbfs(noise.loudestDbfs)}`,
      'not checked',
    ),
    line('Mains hum', hum && humWords(hum), 'not checked'),
    line('Resistances', resistances.length === 0 ? null : resistances.join(', '), 'as the product file has them'),
  ]
}

const humWords = (hum: NonNullable<RigSettings['hum']>): string =>
  hum.mainsHz === null || hum.levelDbfs === null ? 'none' : `${hum.mainsHz} Hz at ${formatDbfs(hum.levelDbfs)}`

function gainWords({ frequencyHz, gainDb }: NonNullable<RigSettings['correction']>): string {
  const at1kHz = gainDb[frequencyHz.findIndex((f) => f >= 1000)] ?? gainDb[0]
  const spread = Math.max(...gainDb) - Math.min(...gainDb)
  return `${formatDb(at1kHz, { digits: 2, signed: true })} at 1 kHz, ${formatDb(spread, { digits: 2 })} over frequency`
}
