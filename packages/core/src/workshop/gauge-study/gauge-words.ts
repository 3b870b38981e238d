import { formatDb, formatHz } from '../../model/format.ts'
import type { GaugeQuantity, GaugeResult, GaugeStudy } from '../../model/gauge-study.ts'
import { atSetting } from '../../response/judge/judge-words.ts'

/** Source: AIAG, "Measurement Systems Analysis", 4th edition: five distinct categories; 10 % and 30 % of the tolerance. */
const wanted = { classes: 5, goodPercent: 10, usablePercent: 30 }

/** A deviation to the digit that tells something. */
const small = (db: number): string => (db < 0.0005 ? 'less than 0.001 dB' : formatDb(db, { digits: db < 0.1 ? 3 : 2 }))

/** The result in sentences: what the rig tells apart, what repeats how well, and what the judge would make of it. */
export function gaugeWords(study: GaugeStudy, result: Omit<GaugeResult, 'words'>): string[] {
  const { overall, effect } = result
  const worst = result.quantities.reduce((a, b) => (tolerance(b) > tolerance(a) ? b : a))
  return [
    classWords(overall.classes, result.quantities),
    `${small(overall.reproducibilityDb)} from one set-up to the next, ${small(overall.repeatabilityDb)} from one sweep to the next.`,
    `At worst the rig takes ${Math.round(tolerance(worst))} % of the tolerance (${atWords(worst)}): ${toleranceWords(tolerance(worst))}.`,
    ...(study.setUps < 3
      ? [`${study.setUps} set-ups tell little of set-ups: ${limitsWords(worst)}; three or more narrow that.`]
      : []),
    `Taken over, the judge counts with ${small(effect.rigUncertaintyDb)} (now ${small(effect.presentDb)}, ${effect.presentSource}): the rig's guard band goes from ${small(effect.guardBandBeforeDb)} to ${small(effect.guardBandAfterDb)}.`,
  ]
}

const tolerance = ({ anova }: GaugeQuantity): number => anova.gauge.percentOfTolerance

const atWords = ({ setting, frequencyHz }: GaugeQuantity): string =>
  `${atSetting(setting).replace(/^At/, 'at')}, ${formatHz(frequencyHz, { digits: 2 })}`

function classWords(classes: number | null, quantities: readonly GaugeQuantity[]): string {
  if (classes === null)
    return 'The rig repeats without any difference: these recordings cannot be of boards put in anew.'
  const told = `The rig tells these boards apart in ${classes} ${classes === 1 ? 'class' : 'classes'}`
  const [least] = quantities
    .filter((one) => one.anova.classes.count !== null)
    .sort((a, b) => (a.anova.classes.count ?? 0) - (b.anova.classes.count ?? 0))
  const leastTold = least ? ` over all frequencies, in ${least.anova.classes.count} ${atWords(least)}` : ''
  return classes >= wanted.classes
    ? `${told}${leastTold}.`
    : `${told}${leastTold}; five are wanted, or boards that differ more.`
}

function toleranceWords(percent: number): string {
  if (percent < wanted.goodPercent) return 'good'
  return percent < wanted.usablePercent ? 'usable' : 'too much, so mend the rig first'
}

function limitsWords({ anova }: GaugeQuantity): string {
  const { lowerDb, upperDb } = anova.reproducibility
  const upper = upperDb === null ? 'any size' : small(upperDb)
  return `theirs may lie between ${small(lowerDb)} and ${upper}`
}
