import { parseQuantity } from '../circuit/quantity.ts'
import type { Circuit } from '../model/circuit.ts'
import type { Hypothesis } from './hypothesis.ts'
import { amplifiers } from './parts.ts'

/** Shares of the gain-bandwidth product that count as slow; each stands for what lies about it. */
const slowShares = [0.1, 0.01]

/** An op-amp section that does nothing, sits at a rail, or is too slow. */
export const amplifierHypotheses = (circuit: Circuit): Omit<Hypothesis, 'weight'>[] =>
  amplifiers(circuit).flatMap(({ designator, gainBandwidth }): Omit<Hypothesis, 'weight'>[] => {
    const common = { designators: [designator], nodes: [] }
    const hertz = parseQuantity(gainBandwidth, 'frequency')
    return [
      { id: `dead ${designator}`, kind: 'amplifier-dead', ...common, fault: { kind: 'dead', designator } },
      { id: `stuck-high ${designator}`, kind: 'amplifier-stuck', ...common, fault: { kind: 'stuck-high', designator } },
      { id: `stuck-low ${designator}`, kind: 'amplifier-stuck', ...common, fault: { kind: 'stuck-low', designator } },
      ...slowShares.map(
        (share): Omit<Hypothesis, 'weight'> => ({
          id: `slow ${designator} ${share}`,
          kind: 'amplifier-slow',
          ...common,
          fault: { kind: 'slow', designator, value: share * hertz },
          free: { deviation: 0.8 },
        }),
      ),
    ]
  })
