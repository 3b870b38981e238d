import { formatDb, formatHz, type GaugeFigure, type GaugeResult } from '@boardwright/core'
import styles from './rig.module.css'

const three = (db: number | null): string => (db === null ? 'any size' : formatDb(db, { digits: 3 }).replace(' dB', ''))
const withLimits = ({ deviationDb, lowerDb, upperDb }: GaugeFigure): string =>
  `${three(deviationDb)} (${three(lowerDb)} to ${three(upperDb)})`
const classes = (count: number | null): string => (count === null ? '∞' : String(count))

const heads = ['', 'Set-up', 'Sweep', 'Both, with limits', 'Of the tolerance', 'Classes', 'By ranges: both', 'Classes']

/** The figures of a study in dB, by analysis of variance and by averages and ranges. */
export function GaugeResultTable({ result }: { result: GaugeResult }) {
  return (
    // Scrolls by itself, so it must take the focus to be scrolled by keys.
    // biome-ignore lint/a11y/noNoninteractiveTabindex: see the line above
    // biome-ignore lint/a11y/useSemanticElements: a section would be one landmark more, a fieldset is for inputs
    <div role="group" aria-label="Figures of the study, table" tabIndex={0} className={styles.scroll}>
      <table>
        <caption>
          Standard deviations in dB, by analysis of variance; limits hold {Math.round(100 * result.confidence)} %
        </caption>
        <thead>
          <tr>
            {heads.map((head, i) => (
              // biome-ignore lint/suspicious/noArrayIndexKey: the columns stay as they are
              <th scope="col" key={i}>
                {head || <span className="unseen">Quantity</span>}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {result.quantities.map(({ quantity, setting, frequencyHz, anova, range }) => (
            <tr key={`${setting} ${quantity} ${frequencyHz}`}>
              <th scope="row" className={styles.number}>
                {setting} {quantity === 'level' ? 'level at 1 kHz' : formatHz(frequencyHz, { digits: 2 })}
              </th>
              <td>{three(anova.reproducibility.deviationDb)}</td>
              <td>{three(anova.repeatability.deviationDb)}</td>
              <td className={styles.number}>{withLimits(anova.gauge)}</td>
              <td>{Math.round(anova.gauge.percentOfTolerance)} %</td>
              <td>{classes(anova.classes.count)}</td>
              <td>{three(range.gauge.deviationDb)}</td>
              <td>{classes(range.classes.count)}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  )
}
