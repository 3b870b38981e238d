import type { LiveEvent } from '@boardwright/core/contract'

/** True for the journal entry that a test run leaves with its unit; its key is the serial number. */
export const isUnitTested = ({ verb, noun }: Pick<LiveEvent, 'verb' | 'noun'>): boolean =>
  verb === 'record-test-run' && noun === 'unit'

/** Which of the fetched things a change concerns, as the beginnings of query keys. */
export function changedKeys({ noun, key }: Pick<LiveEvent, 'noun' | 'key'>): string[][] {
  switch (noun) {
    case 'unit':
      return [['units'], ['unit', key], ['figures'], ['rigChecks']]
    case 'test-run':
      // A stored run never changes, but its diagnosis does; the entry of its unit comes with a new run.
      return [['diagnosis', key]]
    case 'hard-run':
    case 'rework':
      // The entry of its unit comes with it.
      return []
    case 'rig-check':
      return [['rigChecks']]
    case 'gauge-study':
      return [['gaugeStudies']]
    case 'product':
      return [['products'], ['rigChecks'], ['gaugeStudies']]
    case 'reference':
      return [['references'], ['rigChecks']]
    default:
      // A noun of a newer server: fetching too much is better than showing what is no longer so.
      return [[]]
  }
}
