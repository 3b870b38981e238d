import type { SettingJudgement, SettingMeasurement } from '@boardwright/core'
import { formatDb, formatDbfs, formatDuration, formatRate } from '@boardwright/core'
import styles from './setting-section.module.css'

/** The single figures of a measurement: gain, level difference, noise, and where the recording came from. */
export function MeasurementFigures({
  measurement,
  judgement,
}: {
  measurement: SettingMeasurement
  judgement: SettingJudgement | undefined
}) {
  const { curve, noise } = measurement
  const figures: [string, string][] = []
  if (curve && measurement.gainAt1kHzDb !== null)
    figures.push(['Gain at 1 kHz', formatDb(measurement.gainAt1kHzDb, { digits: 2, signed: true })])
  if (judgement && judgement.frequencyHz.length > 0)
    figures.push(['Level against the reference', formatDb(judgement.levelDifferenceDb, { digits: 2, signed: true })])
  if (noise)
    figures.push(
      ['Noise, unweighted', formatDbfs(noise.unweightedDbfs)],
      ['Noise, A-weighted', formatDbfs(noise.aWeightedDbfs)],
      ['Signal to noise', formatDb(noise.signalToNoiseDb)],
    )
  if (curve)
    figures.push(
      ['Polarity', measurement.polarity === 1 ? 'same as the stimulus' : 'upside down'],
      ['Delay', formatDuration(measurement.delayS)],
    )
  figures.push(['Recording', `${measurement.origin}, ${formatRate(measurement.rateHz)}`])
  return (
    <dl className={styles.figures} aria-label={`Figures at ${measurement.setting}`}>
      {figures.map(([term, value]) => (
        <div key={term}>
          <dt>{term}</dt>
          <dd>{value}</dd>
        </div>
      ))}
    </dl>
  )
}
