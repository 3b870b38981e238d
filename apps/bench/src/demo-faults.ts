import type { Fault } from '@boardwright/core/circuit'

/** What is wrong with some boards of the demo workshop: one was tested already, one waits, so that both can be seen. */
export const demoFaults: Record<string, Fault[]> = {
  'PLV-0003': [{ kind: 'value', designator: 'C9', value: '33 nF' }],
  'PLV-0007': [{ kind: 'open', designator: 'C8' }],
}
