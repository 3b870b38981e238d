import { BoardwrightError } from '../../model/error.ts'
import { type RigChanges, RigName, RigSettings, reviseRigSettings, usualRigName } from '../../model/rig.ts'
import { type VerbContext, writeJournal } from '../verb-context.ts'
import type { NamedRig, SaveRigSettings } from './rig-verbs.ts'

/** What the journal says was done. */
export type RigVerb =
  | 'save-rig'
  | 'calibrate-levels'
  | 'store-correction'
  | 'store-noise'
  | 'store-hum'
  | 'store-resistances'

/** The settings of a rig in force. Errors: no-rig. */
export function needRig({ store }: Pick<VerbContext, 'store'>, { name = usualRigName }: NamedRig): RigSettings {
  const settings = store.rigSettings.newest(name)
  if (!settings) throw new BoardwrightError('no-rig', `The rig "${name}" is not set up yet.`)
  return settings
}

/**
 * Makes the next version of a rig's settings, with its entry in the journal; the first one when there is none yet.
 * Errors: bad-argument for what cannot be a setting, no-rig when a first version names no devices.
 */
export function saveRigSettings(context: VerbContext, { name = usualRigName, changes }: SaveRigSettings): RigSettings {
  return makeVersion(context, { name, verb: 'save-rig', change: () => changes })
}

/**
 * Makes the next version from what a verb found out.
 * @param what.change gets the version before, undefined when there is none
 */
export function makeVersion(
  context: VerbContext,
  what: { name: string; verb: RigVerb; change: (before: RigSettings | undefined) => RigChanges },
): RigSettings {
  const { name, verb } = what
  const { store } = context
  needName(name)
  return store.transaction(() => {
    const before = store.rigSettings.newest(name)
    const changes = what.change(before)
    const now = context.clock.now()
    const settings = before ? revise(before, changes, now) : first(name, changes, now)
    store.rigSettings.insert(settings)
    const changed = (Object.keys(settings) as (keyof RigSettings)[]).filter(
      (key) => key !== 'version' && key !== 'changedAt' && differs(before?.[key], settings[key]),
    )
    const detail = { version: settings.version, changed }
    writeJournal(context, { at: settings.changedAt, verb, noun: 'rig', key: name, detail })
    return settings
  })
}

const differs = (one: unknown, other: unknown): boolean => JSON.stringify(one ?? null) !== JSON.stringify(other ?? null)

function needName(name: string): void {
  const parsed = RigName.safeParse(name)
  if (!parsed.success)
    throw new BoardwrightError('bad-argument', `"${name}" is no name of a rig: ${parsed.error.issues[0].message}.`)
}

function first(name: string, changes: RigChanges, now: Date): RigSettings {
  if (!changes.output || !changes.input)
    throw new BoardwrightError('no-rig', `The rig "${name}" is not set up yet: choose an output and an input first.`)
  return readable(() => RigSettings.parse({ ...changes, name, version: 1, changedAt: now.toISOString() }))
}

const revise = (before: RigSettings, changes: RigChanges, now: Date): RigSettings =>
  readable(() => reviseRigSettings(before, changes, now))

/** What zod refuses, as a sentence. */
function readable(make: () => RigSettings): RigSettings {
  try {
    return make()
  } catch (error) {
    const issues = (error as { issues?: { path: PropertyKey[]; message: string }[] }).issues
    if (!issues) throw error
    const [issue] = issues
    throw new BoardwrightError('bad-argument', `The rig cannot have this ${issue.path.join('.')}: ${issue.message}.`)
  }
}
