import { boardSteps } from '../model/build.ts'
import type { Store } from '../workshop/ports.ts'
import type { Workshop } from '../workshop/workshop.ts'
import { demoOpAmp, demoSecondDelivery, demoStockTable } from './demo-stock.ts'

/** The demo's clock, in days before the demo is made. */
interface DemoClock {
  setDaysAgo(daysAgo: number): void
  /** Lets so many seconds pass. */
  pass(seconds: number): void
}

export interface DemoShop {
  workshop: Workshop
  store: Store
  clock: DemoClock
}

/** Seconds that one piece takes to place, and another step takes on a board. Common practice, no source. */
const placeS = 27
const otherStepS = 150

/** The first delivery is in the drawers, the op-amps tried and accepted. */
export function fillDemoDrawers({ workshop, store, clock }: DemoShop): void {
  const { stock } = workshop
  clock.setDaysAgo(9.97)
  // One transaction: the demo does not wait for the disk after each line.
  store.transaction(() => {
    stock.importStock({ csv: demoStockTable })
    stock.savePart(demoOpAmp)
    stock.receiveLot({ part: demoOpAmp.number, pieces: 24, lot: 'L-0026', dateCode: '2549', price: demoOpAmp.price })
    const { inspection } = stock.lot('L-0026')
    for (let piece = 1; piece <= (inspection?.sampleSize ?? 0); piece++) {
      clock.pass(120)
      stock.inspectPiece({ lot: 'L-0026', good: true, note: 'socketed board, no noise, both halves alike' })
    }
  })
}

/** A second delivery: capacitors, and op-amps of which one was tried so far. */
export function receiveDemoDelivery({ workshop, store, clock }: DemoShop): void {
  const { stock } = workshop
  clock.setDaysAgo(4.9)
  store.transaction(() => {
    stock.importStock({ csv: demoSecondDelivery })
    stock.receiveLot({ part: demoOpAmp.number, pieces: 20, lot: 'L-0029', dateCode: '2608', price: demoOpAmp.price })
    clock.pass(600)
    stock.inspectPiece({ lot: 'L-0029', good: true })
  })
}

export interface DemoBuild {
  units: number
  firstNumber?: number
  note: string
  daysAgo: number
  /** How many board steps were done; all unless told. */
  steps?: number
}

/** A build, worked step by step. */
export function makeDemoBuild({ workshop, store, clock }: DemoShop, what: DemoBuild): void {
  const { builds } = workshop
  clock.setDaysAgo(what.daysAgo)
  store.transaction(() => {
    const { units, firstNumber, note } = what
    const { build } = builds.start({ units, firstNumber, note })
    for (const [i, { key, designators, kind }] of boardSteps(build.steps).slice(0, what.steps).entries()) {
      // Nobody is as quick every time: up to a fifth more or less, the same on every machine.
      const pace = 0.8 + 0.4 * (((7 * i + 3 * build.id) % 11) / 10)
      const workedS = Math.round(units * pace * (kind === 'place' ? placeS * designators.length : otherStepS))
      clock.pass(workedS)
      builds.recordWork({ buildId: build.id, step: key, workedS })
    }
  })
}

/** What went wrong on the build that is in work. */
export function noteDemoTrouble({ workshop, clock }: DemoShop): void {
  const build = workshop.builds.list()[0]
  const [serial] = build?.build.serials ?? []
  if (!build || serial === undefined) return
  clock.pass(60)
  const note = 'pad of R9 lifted on one side; glued down, to be looked at under the magnifier'
  workshop.builds.recordWork({ buildId: build.build.id, step: 'place-r9', serials: [serial], mark: 'wrong', note })
}
