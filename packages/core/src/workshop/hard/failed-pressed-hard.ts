import type { Store } from '../ports.ts'

/**
 * True when a unit's last visit to be pressed hard failed, and nothing was reworked since: it is on no shelf then, whatever
 * its test run says.
 */
export function failedPressedHard(store: Pick<Store, 'hardRuns' | 'reworks'>, serial: string): boolean {
  const [last] = store.hardRuns.ofUnit(serial)
  if (last?.verdict !== 'fail') return false
  return !store.reworks.ofUnit(serial).some((rework) => rework.at > last.startedAt)
}
