import type { LiveEvent } from '@boardwright/core/contract'

/** True for the journal entry of a test run; its key is the unit's serial number. */
export const isTestRun = ({ verb }: Pick<LiveEvent, 'verb'>): boolean => verb === 'record-test-run'

/** Which of the fetched things a change concerns, as the beginnings of query keys. */
export function changedKeys({ noun, key }: Pick<LiveEvent, 'noun' | 'key'>): string[][] {
  switch (noun) {
    case 'unit':
      return [['units'], ['unit', key]]
    case 'product':
      return [['products']]
    case 'reference':
      return [['references']]
    default:
      // A noun of a newer server: fetching too much is better than showing what is no longer so.
      return [[]]
  }
}
