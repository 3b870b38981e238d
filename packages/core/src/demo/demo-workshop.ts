import plover from '../../../../shared/products/plover.json' with { type: 'json' }
import type { RigDriver } from '../audio/rig-driver.ts'
import { makeSimulatedRig } from '../audio/simulated-rig.ts'
import { BoardwrightError } from '../model/error.ts'
import { parseProduct } from '../model/parse-product.ts'
import type { Product } from '../model/product.ts'
import { referenceBoardSerial } from '../model/rig-check.ts'
import { makeSweep } from '../response/sweep/sweep.ts'
import type { SweepSignal } from '../response/sweep/sweep-signal.ts'
import { openStore } from '../store/open-store.ts'
import { makeWorkshop } from '../workshop/make-workshop.ts'
import type { SettingRecording, Workshop } from '../workshop/workshop.ts'
import { demoBuilds, demoFaultsOf, demoSeed, demoSerialToTest, demoVisits } from './demo-boards.ts'
import { fillDemoDrawers, makeDemoBuild, noteDemoTrouble, receiveDemoDelivery } from './demo-builds.ts'

export interface DemoWorkshopOptions {
  /** Path of the new workshop file. */
  file: string
  /** The moment the demo seems to be made at; its history lies in the days before. */
  now?: Date
  onProgress?: (progress: { fraction: number; activity: string }) => void
}

export interface DemoWorkshop {
  file: string
  /** The unit that waits to be tested. */
  serialToTest: string
  units: number
  runs: number
}

const referenceRuns = 4
const dayMs = 86_400_000
/**
 * Quick: does not wait for sweeps to be played; at the plan's level the op-amps are far from clipping; the interface's
 * noise stands for that of the board too.
 */
const atOnce = { seed: demoSeed, speed: Number.POSITIVE_INFINITY, clip: false, boardNoise: false, noiseDbfs: -94 }

/**
 * Makes the demo workshop: Fernhollow Audio and its preamp Plover, parts in lots, a reference of four runs a setting, units
 * built from those lots with test runs behind them (passes, one fail, one repeat), one ready to be tested, and a build in
 * work. Every recording comes from the simulated rig and goes through the same verbs as real work; the same demo is made on
 * every machine.
 * Errors: file-not-writable when the file is there already, disk-full.
 */
export async function makeDemoWorkshop(options: DemoWorkshopOptions): Promise<DemoWorkshop> {
  const now = options.now ?? new Date()
  let time = now.getTime()
  const clock = { now: () => new Date(time) }
  const store = openStore(options.file, { create: true })
  const workshop = makeWorkshop({ store, clock, station: 'bench' })
  const shop = {
    workshop,
    store,
    clock: {
      setDaysAgo(daysAgo: number) {
        time = now.getTime() - daysAgo * dayMs
      },
      pass(seconds: number) {
        time += 1000 * seconds
      },
    },
  }
  try {
    if (workshop.products().length > 0)
      throw new BoardwrightError('file-not-writable', `There is a workshop at ${options.file} already.`, {
        remedy: 'Name a new file for the demo.',
      })
    time -= 10 * dayMs
    const product = workshop.addProduct(parseProduct(JSON.stringify(plover), { source: 'plover.json' }))
    const sweep = makeSweep(product.testPlan.stimulus)
    const steps = demoVisits.length + referenceRuns
    const tell = (step: number, activity: string) => options.onProgress?.({ fraction: step / steps, activity })
    await measureReference({ workshop, product, sweep, tell })
    fillDemoDrawers(shop)
    makeDemoBuild(shop, demoBuilds.first)
    const rig = makeSimulatedRig({ ...atOnce, product, faultsOf: demoFaultsOf })
    const checkRig = checkingRig(product)
    const silence: SweepSignal = { ...sweep, samples: new Float64Array(sweep.samples.length) }
    for (const [i, visit] of demoVisits.entries()) {
      tell(referenceRuns + i, `testing ${visit.serial}`)
      if (visit.serial === 'PLV-0005') {
        receiveDemoDelivery(shop)
        makeDemoBuild(shop, demoBuilds.second)
      }
      time = now.getTime() - visit.daysAgo * dayMs
      const played = visit.muted ? silence : sweep
      const { settings } = product.testPlan
      if (visit.first) {
        time -= minutesBefore * 60_000
        const recordings = await recordAll(checkRig, { serial: referenceBoardSerial, sweep, settings, setUp: `${i}` })
        workshop.rigChecks.record({ rig: checkRig.kind, recordings })
        time += minutesBefore * 60_000
      }
      const recordings = await recordAll(rig, { serial: visit.serial, sweep: played, settings })
      workshop.recordTestRun({ serial: visit.serial, rig: rig.kind, recordings })
    }
    makeDemoBuild(shop, demoBuilds.inWork)
    noteDemoTrouble(shop)
    tell(steps, 'done')
    const { units } = workshop.summary()
    return { file: workshop.file, serialToTest: demoSerialToTest, units, runs: demoVisits.length }
  } finally {
    workshop.close()
  }
}

/** How long before the first unit of a session the rig is checked, minutes. */
const minutesBefore = 10

/** The same rig with the reference board in it: contacts differ a little from one time to the next. */
const checkingRig = (product: Product): RigDriver =>
  makeSimulatedRig({ ...atOnce, seed: demoSeed + 1, product, contactDb: 0.02 })

async function measureReference(options: {
  workshop: Workshop
  product: Product
  sweep: SweepSignal
  tell: (step: number, activity: string) => void
}): Promise<void> {
  const { workshop, product, sweep, tell } = options
  const rig = makeSimulatedRig({ ...atOnce, product, spread: 'none' })
  const settings = ['max', 'min', 'centre']
  const recordings: SettingRecording[] = []
  for (let run = 0; run < referenceRuns; run++) {
    tell(run, `measuring the reference board, run ${run + 1} of ${referenceRuns}`)
    recordings.push(...(await recordAll(rig, { serial: 'REFERENCE', sweep, settings })))
  }
  workshop.addReference({ recordings, note: 'Board 3 of the first batch, chosen by ear. Simulated for the demo.' })
}

async function recordAll(
  rig: RigDriver,
  what: { serial: string; setUp?: string; sweep: SweepSignal; settings: readonly string[] },
): Promise<SettingRecording[]> {
  const recordings: SettingRecording[] = []
  for (const setting of what.settings) recordings.push({ setting, ...(await rig.run({ ...what, setting })) })
  return recordings
}
