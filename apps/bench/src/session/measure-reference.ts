import { type Reference, referenceBoardSerial } from '@boardwright/core'
import type { SettingRecording } from '@boardwright/core/workshop'
import type { SetUp } from './setup/steps.ts'
import { passContact } from './steps/contact.ts'
import { recordedThrough } from './steps/settings.ts'
import { stimulusOf } from './stimulus.ts'
import type { RunTest } from './test-request.ts'

/** Settings that a reference needs: those that are judged, and those of the mirror test. */
function settingsOf({ product }: SetUp): string[] {
  const { settings, mirror } = product.testPlan
  return [...new Set([...settings, ...(mirror ? [mirror.max, mirror.min, mirror.centre] : [])])]
}

/**
 * Measures the reference board on the rig: all settings in turn, several times over, so that what turning the knobs changes is
 * known too. Errors: contact-problem; those of the rig and of `addReference`; the signal's reason.
 */
export async function measureReference(
  what: SetUp & {
    signal: AbortSignal
    ask: NonNullable<RunTest['ask']>
    onProgress: (progress: { activity: string }) => void
    runs: number
    note: string
  },
): Promise<Reference> {
  const { workshop, product, signal, ask, onProgress, runs, note } = what
  const rig = what.rig.pinned?.() ?? what.rig
  const serial = referenceBoardSerial
  const sweep = stimulusOf(product, rig.settings)
  const recordings: SettingRecording[] = []
  const request: RunTest = { workshop, product, rig, serial, signal, ask, onProgress: () => {} }
  for (let run = 1; run <= runs; run++)
    for (const setting of settingsOf(what)) {
      if (rig.settings?.settingChange === 'by-hand') await ask({ kind: 'setting', setting })
      await passContact(request, setting)
      const tell = ({ activity }: { activity: string }) =>
        onProgress({ activity: `run ${run}, ${setting}: ${activity}` })
      recordings.push({ setting, ...(await rig.run({ serial, setting, sweep, signal, onProgress: tell })) })
      signal.throwIfAborted()
    }
  return workshop.addReference({ productId: product.id, recordings, sweep, note, ...recordedThrough({ rig }) })
}
