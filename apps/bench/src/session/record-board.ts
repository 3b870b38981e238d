import type { RecordedBoard } from './batch-recorder.ts'
import type { SettingProgress } from './setting-progress.ts'
import { allowFirstSound } from './steps/caution.ts'
import { passContact } from './steps/contact.ts'
import { recordedThrough } from './steps/settings.ts'
import { stimulusOf } from './stimulus.ts'
import type { RunTest } from './test-request.ts'

/** A pause in which the screen is drawn before a rig computes. */
const timeToDraw = () => new Promise((resolve) => setTimeout(resolve, 40))

/**
 * Has the rig do its part for one board: contact check and sweep at every setting. Nothing is analysed and nothing stored.
 * Errors: contact-problem when nobody can be asked; those of the rig; the signal's reason.
 */
export async function recordBoard(asked: RunTest): Promise<RecordedBoard> {
  await allowFirstSound(asked)
  const rig = asked.rig.pinned?.() ?? asked.rig
  const request = { ...asked, rig }
  const { product, serial, signal, ask, onProgress } = request
  const sweep = stimulusOf(product, rig.settings)
  const { settings } = product.testPlan
  const progress = settings.map(
    (setting): SettingProgress => ({ setting, state: 'waiting', fraction: 0, activity: '' }),
  )
  const update = (index: number, change: Partial<SettingProgress>) => {
    progress[index] = { ...progress[index], ...change }
    onProgress([...progress])
  }
  const recordings: RecordedBoard['recordings'] = []
  let overruled = false
  for (const [index, setting] of settings.entries()) {
    update(index, { state: 'running' })
    if (index > 0 && rig.settings?.settingChange === 'by-hand') await ask?.({ kind: 'setting', setting })
    await timeToDraw()
    if (!overruled) {
      if (rig.record) update(index, { activity: 'listening to the contacts' })
      overruled = (await passContact(request, setting)).overruled
    }
    const onRig = ({ fraction, activity }: { fraction: number; activity: string }) =>
      update(index, { fraction, activity })
    recordings.push({ setting, ...(await rig.run({ serial, setting, sweep, signal, onProgress: onRig })) })
    signal.throwIfAborted()
    update(index, { state: 'recorded', fraction: 1, activity: 'recorded' })
  }
  const { loopBackChannel } = recordedThrough(request)
  return {
    serial,
    productId: product.id,
    rig: rig.kind,
    rigSettings: rig.settings,
    loopBackChannel,
    sweep: sweep.settings,
    recordings,
  }
}
