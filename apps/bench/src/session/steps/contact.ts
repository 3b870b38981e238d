import {
  BoardwrightError,
  type ContactCheck,
  type ContactState,
  checkContact,
  makeContactTone,
  type Product,
  type Reference,
} from '@boardwright/core'
import type { RunTest } from '../test-request.ts'

/** The states are computed once for a product, a setting, a reference and the rig's version. */
const known = new WeakMap<Product, Map<string, ContactState[]>>()

type Listening = Pick<RunTest, 'workshop' | 'rig' | 'product'>

/** The reference, unless it has the rig in it and this rig takes itself out, or the other way round. */
function comparableReference({ workshop, rig, product }: Listening): Reference | undefined {
  const reference = workshop.currentReference(product.id)
  if (!reference) return undefined
  const through = reference.rigSettings && workshop.rig.version(reference.rigSettings)
  return ((through?.correction ?? null) === null) === ((rig.settings?.correction ?? null) === null)
    ? reference
    : undefined
}

/**
 * How board and rig would answer the tone at this setting, in each state that is known; undefined for a rig whose own gain
 * nobody knows yet: without calibration, correction and reference it cannot tell a quiet board from a quiet input.
 */
async function statesAt(listening: Listening, setting: string): Promise<ContactState[] | undefined> {
  const { rig, product } = listening
  const { settings } = rig
  const reference = comparableReference(listening)
  if (settings && !settings.calibration && !settings.correction && !reference) return undefined
  const ofProduct = known.get(product) ?? new Map<string, ContactState[]>()
  known.set(product, ofProduct)
  const key = `${setting} ${reference?.version ?? 0} ${settings?.name ?? ''} ${settings?.version ?? 0}`
  const found = ofProduct.get(key)
  if (found) return found
  const { contactStates } = await import('@boardwright/core/circuit')
  const atSetting = reference?.settings.find((one) => one.setting === setting)
  const states = contactStates({ product, setting, reference: atSetting, rig: settings })
  ofProduct.set(key, states)
  return states
}

/** Works out the states of all settings, so that a check itself waits for nothing but its tone. */
export async function prepareContacts(listening: Listening): Promise<void> {
  if (!listening.rig.record) return
  for (const setting of listening.product.testPlan.settings) await statesAt(listening, setting)
}

/** Plays the contact tone at a setting and says what it shows; undefined for a rig that cannot tell. */
export async function checkContactAt(
  request: Listening & Pick<RunTest, 'serial' | 'signal'>,
  setting: string,
): Promise<ContactCheck | undefined> {
  const { rig, product, serial, signal } = request
  if (!rig.record) return undefined
  const states = await statesAt(request, setting)
  if (!states) return undefined
  const rateHz = rig.settings?.rateHz ?? product.testPlan.stimulus.rateHz
  const tone = makeContactTone({ rateHz, levelDbfs: toneLevelDbfs(rig.settings?.maxLevelDbfs) })
  const audio = await rig.record({ samples: tone.samples, rateHz, board: { serial, setting }, signal })
  signal.throwIfAborted()
  return checkContact({ tone, recording: audio.channels[0], states })
}

/** Quiet, and never above the limit of the rig. */
const toneLevelDbfs = (maxLevelDbfs = 0): number => Math.min(-40, maxLevelDbfs)

/** True when a sweep would tell nothing: what only differs from a sound board is left to the sweep and the diagnosis. */
const isAgainstSweep = ({ kind }: ContactCheck): boolean => kind !== 'ok' && kind !== 'unclear'

/**
 * Listens with a short quiet tone whether board and rig are in contact. When they are not, the person decides: mend it and
 * try again, or measure all the same, which the journal keeps.
 *
 * @returns what was heard last; undefined for a rig that cannot play a tone
 * Errors: contact-problem when nobody can be asked; those of the rig; the signal's reason.
 */
export async function passContact(
  request: RunTest,
  setting: string,
): Promise<{ check: ContactCheck | undefined; overruled: boolean }> {
  for (;;) {
    const check = await checkContactAt(request, setting)
    if (!check || !isAgainstSweep(check)) return { check, overruled: false }
    const { kind, message, remedy } = check
    if (!request.ask)
      throw new BoardwrightError('contact-problem', `Contact check at "${setting}": ${message}`, { remedy })
    const answer = await request.ask({ kind: 'contact', setting, check })
    request.signal.throwIfAborted()
    if (answer === 'measure') {
      request.workshop.rig.noteContactOverridden({ serial: request.serial, setting, kind, message })
      return { check, overruled: true }
    }
  }
}
