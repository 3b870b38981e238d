import { openStore } from '../store/open-store.ts'
import { makeWorkshop } from '../workshop/make-workshop.ts'

const serialOf = (number: number): string => `PLV-${String(number).padStart(4, '0')}`

/**
 * Sees to it that a unit of the demo workshop waits for its test: where none does, the lowest serial number that is free is
 * registered. (The build in work has taken higher ones.)
 * @returns the serial number that waits
 * Errors: those of opening a workshop file.
 */
export function offerDemoUnit({ file }: { file: string }): string {
  const workshop = makeWorkshop({ store: openStore(file), station: 'bench' })
  try {
    const waiting = workshop.nextToTest()
    if (waiting) return waiting.serial
    const used = new Set(workshop.units().map(({ serial }) => serial))
    let number = 1
    while (used.has(serialOf(number))) number++
    const serial = serialOf(number)
    return workshop.registerUnit({ serial }).serial
  } finally {
    workshop.close()
  }
}
