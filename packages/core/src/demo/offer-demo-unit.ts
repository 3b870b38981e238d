import { openStore } from '../store/open-store.ts'
import { makeWorkshop } from '../workshop/make-workshop.ts'

const demoSerial = /^PLV-(\d{4})$/

/**
 * Sees to it that a unit of the demo workshop waits for its test: where none does, the next serial number is registered.
 * @returns the serial number that waits
 * Errors: those of opening a workshop file.
 */
export function offerDemoUnit({ file }: { file: string }): string {
  const workshop = makeWorkshop({ store: openStore(file), station: 'bench' })
  try {
    const waiting = workshop.nextToTest()
    if (waiting) return waiting.serial
    const numbers = workshop.units().map(({ serial }) => Number(demoSerial.exec(serial)?.[1] ?? 0))
    const serial = `PLV-${String(Math.max(0, ...numbers) + 1).padStart(4, '0')}`
    return workshop.registerUnit({ serial }).serial
  } finally {
    workshop.close()
  }
}
