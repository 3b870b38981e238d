import { formatDb, formatHz, type GaugeQuantity, type GaugeStep, type GaugeStudy } from '@boardwright/core'

/** What the maker does for the next reading. */
export function stepWords(step: GaugeStep, study: Pick<GaugeStudy, 'repeats' | 'setUps'>): string {
  const place = `set-up ${step.setUp} of ${study.setUps}`
  if (step.repeat === 1) return `put ${step.serial} in (${place}); if it is in, take it out and put it back.`
  return `leave ${step.serial} as it is (sweep ${step.repeat} of ${study.repeats}, ${place}).`
}

export const studyWords: Readonly<Record<GaugeStudy['state'], string>> = {
  running: 'under way',
  complete: 'complete',
  abandoned: 'given up',
}

const small = (db: number | null): string =>
  db === null ? 'any' : formatDb(db, { digits: 3, unit: 'dB' }).replace(' dB', '')

export const quantityHead = ['', 'set-up', 'sweep', 'both, 95 % limits', '% tol.', 'classes', 'by ranges']

/** One quantity of a study as cells of a table; deviations in dB. */
export function quantityCells({ quantity, setting, frequencyHz, anova, range }: GaugeQuantity): string[] {
  const { reproducibility, repeatability, gauge, classes } = anova
  return [
    `${setting} ${quantity === 'level' ? 'level' : formatHz(frequencyHz, { digits: 2 })}`,
    small(reproducibility.deviationDb),
    small(repeatability.deviationDb),
    `${small(gauge.deviationDb)} (${small(gauge.lowerDb)} to ${small(gauge.upperDb)})`,
    `${Math.round(gauge.percentOfTolerance)} %`,
    classes.count === null ? '∞' : String(classes.count),
    `${small(range.gauge.deviationDb)}, ${range.classes.count ?? '∞'}`,
  ]
}
