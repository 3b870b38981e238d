import type { Circuit } from '../model/circuit.ts'
import type { Hypothesis } from './hypothesis.ts'
import { boardElements, isElectrolytic } from './parts.ts'

/** Leakage across a capacitor, ohm: an electrolytic that has aged, flux under a film capacitor. */
const electrolyticLeaks = [1e3, 1e4, 1e5]
const filmLeaks = [1e4, 1e5, 1e6]
const sizeDeviation = 0.8

type Draft = Omit<Hypothesis, 'weight'>

/** What time and the wrong way round do: reversed, leaky, dried out. */
export const polarityHypotheses = (circuit: Circuit): Draft[] =>
  boardElements(circuit).flatMap((element): Draft[] => {
    const { designator, kind } = element
    const common = { designators: [designator], nodes: [] }
    const reversed: Draft = {
      id: `reversed ${designator}`,
      kind: 'reversed',
      ...common,
      fault: { kind: 'reversed', designator },
    }
    if (kind === 'potentiometer' || kind === 'diode' || kind === 'zener') return [reversed]
    if (kind !== 'capacitor') return []
    const leaks = (isElectrolytic(element) ? electrolyticLeaks : filmLeaks).map(
      (value): Draft => ({
        id: `leaky ${designator} ${value}`,
        kind: 'leaky',
        ...common,
        fault: { kind: 'leak', designator, value },
        free: { deviation: sizeDeviation },
      }),
    )
    if (!isElectrolytic(element)) return leaks
    const dry: Draft = {
      id: `dried-out ${designator}`,
      kind: 'dried-out',
      ...common,
      fault: { kind: 'dried-out', designator },
    }
    return [reversed, ...leaks, dry]
  })
