import { isBoardwrightError } from '@boardwright/core'
import type { Workshop } from '@boardwright/core/workshop'

/** What is known about the serial number that would be tested. */
export function knownAbout(workshop: Workshop, serial: string): string {
  try {
    const { unit, runs } = workshop.unit(serial)
    const times =
      runs.length === 0
        ? 'never tested'
        : `tested ${runs.length === 1 ? 'once' : `${runs.length} times`}, last: ${runs[0].verdict}`
    return `${unit.state}, ${times}`
  } catch (error) {
    if (!isBoardwrightError(error) || error.code !== 'not-found') throw error
    return 'not known yet: the test makes it a new unit (wrong scan?)'
  }
}
