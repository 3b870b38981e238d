import { RigSettings } from '@boardwright/core'
import { z } from 'zod'

const Device = z.object({ id: z.string(), label: z.string() })
const Channel = z.number().int().min(0).max(31)

/** Which devices and channels play and record, and how loud it may ever be. Channels count from 0. */
export const Rig = z.object({
  output: Device,
  input: Device,
  outputChannel: Channel,
  inputChannel: Channel,
  /** The input that the output is looped back to; null when there is no such cable. */
  loopBackChannel: Channel.nullable(),
  /** Nothing is ever played with a peak above this. */
  maxLevelDbfs: z.number().min(-80).max(0),
})
export type Rig = z.infer<typeof Rig>

/** What the computer itself uses; the label is for the maker. */
export const computersChoice = { id: '', label: "the computer's own choice" }

export const usualRig: Rig = {
  output: computersChoice,
  input: computersChoice,
  outputChannel: 0,
  inputChannel: 0,
  loopBackChannel: null,
  maxLevelDbfs: RigSettings.shape.maxLevelDbfs.parse(undefined),
}

const storageKey = 'boardwright.measure.rig'

/** The choice of the last time on this computer, or the usual one. */
export function loadRig(storage: Pick<Storage, 'getItem'>): Rig {
  try {
    return Rig.parse(JSON.parse(storage.getItem(storageKey) ?? ''))
  } catch {
    // Nothing is kept, or a browser that keeps nothing: the usual choice stands on the page and can be changed.
    return usualRig
  }
}

export function saveRig(storage: Pick<Storage, 'setItem'>, rig: Rig): void {
  try {
    storage.setItem(storageKey, JSON.stringify(rig))
  } catch {
    // A browser that keeps nothing: the choice holds for this page.
  }
}
