import type { SweepSignal } from '@boardwright/core'
import type { SettingRecording } from '@boardwright/core/workshop'
import type { SettingProgress } from '../setting-progress.ts'
import type { RunTest } from '../test-request.ts'
import { passContact } from './contact.ts'

/** The simulated rig computes for a while before it waits; the screen shall show first what is going on. */
const timeToDraw = () => new Promise((resolve) => setTimeout(resolve, 40))

export interface RecordedSettings {
  recordings: SettingRecording[]
  /** When the last recording was in, ms of `performance.now`. */
  endedAtMs: number
}

/** Channel of the looped-back stimulus in what the rig records, and the version of its settings. */
export const recordedThrough = ({ rig }: Pick<RunTest, 'rig'>) => ({
  loopBackChannel: (rig.settings?.input.loopBackChannel ?? null) === null ? undefined : 1,
  rigSettings: rig.settings,
})

/**
 * Runs the settings of the test plan on the rig in turn: the board is moved to the setting, the contact is checked, the
 * sweep is played. Each is measured while the next one is recorded, the last one with the verdict.
 * Errors: contact-problem; those of the rig; the signal's reason when it is stopped.
 */
export async function recordSettings(request: RunTest, sweep: SweepSignal): Promise<RecordedSettings> {
  const { workshop, rig, product, serial, setUp, signal, onProgress } = request
  const { settings } = product.testPlan
  const progress = settings.map(
    (setting): SettingProgress => ({ setting, state: 'waiting', fraction: 0, activity: '' }),
  )
  const update = (index: number, change: Partial<SettingProgress>) => {
    progress[index] = { ...progress[index], ...change }
    onProgress([...progress])
  }

  const recordings: SettingRecording[] = []
  let endedAtMs = 0
  let overruled = false
  for (const [index, setting] of settings.entries()) {
    update(index, { state: 'running' })
    if (index > 0 && rig.settings?.settingChange === 'by-hand') await request.ask?.({ kind: 'setting', setting })
    await timeToDraw()
    if (!overruled) {
      if (rig.record) update(index, { activity: 'listening to the contacts' })
      overruled = (await passContact(request, setting)).overruled
    }
    const { audio, origin } = await rig.run({
      serial,
      setUp,
      setting,
      sweep,
      signal,
      onProgress: ({ fraction, activity }) => update(index, { fraction, activity }),
    })
    signal.throwIfAborted()
    endedAtMs = performance.now()
    const recording = { setting, audio, origin }
    recordings.push(recording)
    const isLast = index === settings.length - 1
    const what = { recording, productId: product.id, sweep, ...recordedThrough(request) }
    const curve = isLast ? undefined : (workshop.measureAhead(what).curve ?? undefined)
    update(index, { state: 'recorded', fraction: 1, activity: 'recorded', curve })
  }
  return { recordings, endedAtMs }
}
