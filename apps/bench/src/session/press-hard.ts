import type { HardPlan, HardSupply, Product } from '@boardwright/core'
import { type HardRig, makeHardRig, type RigDriver } from '@boardwright/core/audio'
import type { HardRecording, Workshop } from '@boardwright/core/workshop'
import { allowFirstSound } from './steps/caution.ts'
import type { RunAnswer, RunQuestion } from './test-request.ts'

/** What the pressing waits for a person to do. */
export type HardQuestion =
  | Extract<RunQuestion, { kind: 'caution' | 'setting' }>
  /** The supply of the rig is to be set to this voltage. */
  | { kind: 'supply'; supply: HardSupply }

/** How far the pressing is: one entry for each supply and sound. */
export interface HardProgress {
  supply: HardSupply
  part: 'sweep' | 'ladder'
  state: 'waiting' | 'running' | 'recorded'
  /** 0 to 1 */
  fraction: number
  activity: string
}

export interface PressHard {
  workshop: Workshop
  rig: RigDriver
  product: Product
  /** What the recordings are called; a unit's, or the reference board's. */
  serial: string
  hard: HardPlan
  signal: AbortSignal
  onProgress: (parts: HardProgress[]) => void
  /** Asks the person at the rig; without it, everything asked for counts as done. */
  ask?: (question: HardQuestion) => Promise<void>
}

const parts = ['sweep', 'ladder'] as const

/**
 * Plays the loud sweep and the ladder of tones at every supply of the plan and records them. A rig that cannot set the supply
 * has the person do it. Stores nothing.
 * Errors: level-too-high, no-hard-plan; those of the rig; the signal's reason.
 */
export async function pressHard(request: PressHard): Promise<HardRecording[]> {
  const { workshop, product, hard, signal, ask, onProgress } = request
  const caution = async (): Promise<RunAnswer> => {
    await ask?.({ kind: 'caution' })
    return 'go'
  }
  const pinned = request.rig.pinned?.() ?? request.rig
  const stimuli = workshop.hard.stimuli({ productId: product.id, rigSettings: pinned.settings })
  await allowFirstSound({ rig: request.rig, ask: caution, signal })
  const rig = makeHardRig(pinned)
  const progress = hard.supplies.flatMap((supply) =>
    parts.map((part): HardProgress => ({ supply, part, state: 'waiting', fraction: 0, activity: '' })),
  )
  const update = (index: number, change: Partial<HardProgress>) => {
    progress[index] = { ...progress[index], ...change }
    onProgress([...progress])
  }
  onProgress([...progress])
  if (rig.settings?.settingChange === 'by-hand') await ask?.({ kind: 'setting', setting: hard.setting })
  const recordings: HardRecording[] = []
  for (const [index, supply] of hard.supplies.entries()) {
    if (!rig.setsSupply) await ask?.({ kind: 'supply', supply })
    signal.throwIfAborted()
    const record = async (part: (typeof parts)[number]) => {
      const at = parts.length * index + parts.indexOf(part)
      update(at, { state: 'running' })
      const audio = await recordPart(rig, request, { supply, part, ...stimuli[part], onProgress: (p) => update(at, p) })
      update(at, { state: 'recorded', fraction: 1, activity: 'recorded' })
      return audio
    }
    recordings.push({ supply: supply.name, sweep: await record('sweep'), ladder: await record('ladder') })
  }
  return recordings
}

async function recordPart(
  rig: HardRig,
  { serial, hard, signal }: PressHard,
  sound: Pick<Parameters<HardRig['record']>[0], 'supply' | 'part' | 'samples' | 'rateHz' | 'onProgress'>,
) {
  const audio = await rig.record({ ...sound, serial, setting: hard.setting, signal })
  signal.throwIfAborted()
  return audio
}
