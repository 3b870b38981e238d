import type { Circuit } from '../model/circuit.ts'
import { formatProbability } from '../model/format.ts'
import type { Product } from '../model/product.ts'
import type { Suspect, Suspicion } from '../model/suspect.ts'
import type { EvidenceCase } from './evidence-case.ts'
import type { Group } from './group.ts'
import { predictAll } from './linearise.ts'
import type { Weighed } from './posterior.ts'
import { suspicionWords } from './suspicion-words.ts'

/** Groups less probable than this are left out, and no more than so many are shown. */
const leastShown = 0.002
const mostShown = 12
const mostSuspicions = 40
/** Leading suspects whose curves are worked out for drawing. */
const drawn = 4

/** Makes the suspects of a diagnosis out of its groups. */
export const makeSuspects = (options: {
  product: Product
  one: EvidenceCase
  groups: readonly Group[]
  /** Parts that were measured by themselves and found as drawn. */
  soundParts?: readonly string[]
}): Suspect[] => {
  const { product, one, groups, soundParts = [] } = options
  return groups
    .filter((g) => g.probability >= leastShown)
    .slice(0, mostShown)
    .map((group, rank) => {
      const members = stillOpen(group.members, soundParts)
      const suspicions = members.slice(0, mostSuspicions).map((m) => suspicionOf(product.circuit, one, m))
      const designators = [...new Set(suspicions.flatMap((s) => s.designators))]
      return {
        probability: Math.min(1, group.probability),
        words: groupWords(suspicions),
        designators,
        suspicions,
        places: placesOf(product, designators),
        rig: suspicions[0].kind === 'rig-pin',
        curves: rank < drawn ? curvesOf(one, members[0]) : [],
      }
    })
}

/** A part found sound is not named any more, unless nothing else is left: a maker can err too. */
const stillOpen = (members: readonly Weighed[], soundParts: readonly string[]): readonly Weighed[] => {
  const open = members.filter(({ prepared }) => !prepared.hypothesis.designators.some((d) => soundParts.includes(d)))
  return open.length > 0 ? open : members
}

const suspicionOf = (circuit: Circuit, one: EvidenceCase, { prepared, fit, probability }: Weighed): Suspicion => {
  const { hypothesis } = prepared
  // What was only found to predict the same as another has no fit of its own: its size stays as it stands.
  const free = fit.prepared === prepared ? fit.z[one.layout.free] : 0
  const { id, kind, designators, nodes } = hypothesis
  return {
    id,
    kind,
    designators,
    nodes,
    ...suspicionWords(circuit, prepared, free),
    probability: Math.min(1, probability),
  }
}

const groupWords = (suspicions: readonly Suspicion[]): string => {
  const [first, ...others] = suspicions
  const named = new Set(first.designators)
  const rest = [...new Set(others.flatMap((s) => s.designators))].filter((d) => !named.has(d))
  if (rest.length === 0) return first.words
  const list = rest.length > 4 ? `${rest.slice(0, 4).join(', ')} and ${rest.length - 4} more` : rest.join(', ')
  return `${first.words}; these curves cannot tell it from a fault of ${list}`
}

const placesOf = ({ board }: Product, designators: readonly string[]): Suspect['places'] =>
  designators.flatMap((designator) => {
    const found = board?.placements.find(
      (p) => p.designator === designator || p.designator === designator.replace(/[A-Z]$/, ''),
    )
    return found ? [{ designator, xMm: found.xMm, yMm: found.yMm, side: found.side }] : []
  })

const curvesOf = (one: EvidenceCase, { fit }: Weighed): Suspect['curves'] => {
  const predictions = predictAll(one, fit.prepared, fit.z)
  return one.readings.flatMap(({ setting, tap }, r) => {
    if (tap.node !== null) return []
    const { re, im } = predictions[r]
    return [
      {
        setting,
        frequencyHz: Array.from(tap.omega, (w) => w / (2 * Math.PI)),
        gainDb: Array.from(re, (x, k) => 10 * Math.log10(x * x + im[k] * im[k] + 1e-30)),
      },
    ]
  })
}

/** The diagnosis in one or two sentences. */
export const summaryWords = (suspects: readonly Suspect[], none: number): string => {
  const [first, second] = suspects
  if (!first || none > 0.5)
    return `Nothing in the dictionary explains these curves (${formatProbability(none)}): think of two faults at once, or of something new.${
      first ? ` Nearest is: ${first.words}.` : ''
    }`
  const then =
    second && second.probability >= 0.02 ? `, or ${second.words} (${formatProbability(second.probability)})` : ''
  const sentence = `${first.words} (${formatProbability(first.probability)})${then}`
  return `${sentence[0].toUpperCase()}${sentence.slice(1)}.`
}
