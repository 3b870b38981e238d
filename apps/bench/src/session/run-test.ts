import { makeSweep, type Product, type Reference, type ResponseCurve, type SweepSignal } from '@boardwright/core'
import type { RigDriver } from '@boardwright/core/audio'
import type { RecordedTestRun, SettingRecording, Workshop } from '@boardwright/core/workshop'

export interface SettingProgress {
  setting: string
  state: 'waiting' | 'running' | 'recorded'
  /** 0 to 1 */
  fraction: number
  activity: string
  /** For the screen only: the verdict is computed by the workshop from the recording. */
  curve?: ResponseCurve
}

export interface RunTest {
  workshop: Workshop
  rig: RigDriver
  product: Product
  serial: string
  signal: AbortSignal
  onProgress: (settings: SettingProgress[]) => void
}

export interface FinishedTest {
  recorded: RecordedTestRun
  /** The reference it was judged by. */
  reference: Reference
  /** From the end of the last recording to the stored verdict, ms. */
  judgedInMs: number
}

/** Goes through a test without a board, so that the first verdict comes as quickly as the later ones. Nothing is stored. */
export function warmUp({ workshop, product }: Pick<RunTest, 'workshop' | 'product'>): void {
  workshop.prepareRun({ productId: product.id, sweep: stimulusOf(product) })
}

/** The simulated rig computes for a while before it waits; the screen shall show first what is going on. */
const timeToDraw = () => new Promise((resolve) => setTimeout(resolve, 40))

/** The stimulus is kept: making it and its inverse anew for every unit would delay each verdict. */
const stimuli = new WeakMap<Product, SweepSignal>()

function stimulusOf(product: Product): SweepSignal {
  const sweep = stimuli.get(product) ?? makeSweep(product.testPlan.stimulus)
  stimuli.set(product, sweep)
  return sweep
}

/**
 * Runs the settings of the test plan on the rig in turn and has the workshop judge and store them. Errors: those of the
 * rig and of `recordTestRun`; the signal's reason when it is stopped, and then nothing is stored.
 */
export async function runTest(request: RunTest): Promise<FinishedTest> {
  const { workshop, rig, product, serial, signal, onProgress } = request
  const { testPlan } = product
  const sweep = stimulusOf(product)
  const progress = testPlan.settings.map(
    (setting): SettingProgress => ({ setting, state: 'waiting', fraction: 0, activity: '' }),
  )
  const update = (index: number, change: Partial<SettingProgress>) => {
    progress[index] = { ...progress[index], ...change }
    onProgress([...progress])
  }

  const recordings: SettingRecording[] = []
  let endedAt = 0
  for (const [index, setting] of testPlan.settings.entries()) {
    update(index, { state: 'running' })
    await timeToDraw()
    const { audio, origin } = await rig.run({
      serial,
      setting,
      sweep,
      signal,
      onProgress: ({ fraction, activity }) => update(index, { fraction, activity }),
    })
    signal.throwIfAborted()
    endedAt = performance.now()
    const recording = { setting, audio, origin }
    recordings.push(recording)
    const isLast = index === testPlan.settings.length - 1
    // The last one is measured with the verdict a moment later.
    const measured = isLast ? undefined : workshop.measureAhead({ recording, productId: product.id, sweep })
    const curve = measured?.curve ?? undefined
    update(index, { state: 'recorded', fraction: 1, activity: 'recorded', curve })
  }
  const recorded = workshop.recordTestRun({ serial, productId: product.id, rig: rig.kind, recordings, sweep })
  const judgedInMs = performance.now() - endedAt
  return { recorded, reference: workshop.testRun(recorded.run.id).reference, judgedInMs }
}
