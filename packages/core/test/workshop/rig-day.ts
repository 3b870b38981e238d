import { join } from 'node:path'
import type { SimulatedDrift } from '../../src/audio/simulated-drift.ts'
import { makeSimulatedRig } from '../../src/audio/simulated-rig.ts'
import type { Product } from '../../src/model/product.ts'
import { referenceBoardSerial } from '../../src/model/rig-check.ts'
import { openStore } from '../../src/store/open-store.ts'
import { makeWorkshop } from '../../src/workshop/make-workshop.ts'
import type { SettingRecording, Workshop } from '../../src/workshop/workshop.ts'
import { temporaryFolder } from '../store/temporary-folder.ts'
import { product as plover, recordReference, sweep } from './rig-recordings.ts'

let kept: ReturnType<typeof recordReference> | undefined
const ofReference = () => {
  kept ??= recordReference()
  return kept
}

/** A workshop at a simulated rig whose time and drift the test decides; no sweep is waited for. */
export async function rigDay(
  options: { product?: Product; withReference?: boolean; seed?: number; folder?: string } & SimulatedDrift = {},
) {
  const { product = plover, withReference = true, seed = 5, folder = temporaryFolder(), ...drift } = options
  let ms = Date.parse('2026-03-04T09:00:00.000Z')
  const clock = {
    now: () => {
      ms += 1000
      return new Date(ms)
    },
  }
  const file = join(folder, 'workshop.boardwright')
  const workshop: Workshop = makeWorkshop({ store: openStore(file, { create: true }), clock, station: 'bench' })
  workshop.addProduct(product)
  if (withReference) workshop.addReference({ recordings: await ofReference() })
  const rigWith = (ways: SimulatedDrift) =>
    makeSimulatedRig({ product, seed, ...ways, speed: Number.POSITIVE_INFINITY, clip: false, boardNoise: false })
  let rig = rigWith(drift)
  let setUps = 0
  const record = async (serial: string, setUp = `${++setUps}`): Promise<SettingRecording[]> => {
    const recordings: SettingRecording[] = []
    for (const setting of product.testPlan.settings)
      recordings.push({ setting, ...(await rig.run({ serial, setting, sweep, setUp })) })
    return recordings
  }
  return {
    workshop,
    file,
    record,
    passHours: (hours: number) => {
      ms += hours * 3_600_000
    },
    /** The rig is another from now on. */
    drift: (ways: SimulatedDrift) => {
      rig = rigWith(ways)
    },
    test: async (serial: string) =>
      workshop.recordTestRun({ serial, rig: 'simulated', recordings: await record(serial) }),
    check: async () => workshop.rigChecks.record({ rig: 'simulated', recordings: await record(referenceBoardSerial) }),
    status: () => workshop.rigChecks.status({ rig: 'simulated' }),
  }
}
