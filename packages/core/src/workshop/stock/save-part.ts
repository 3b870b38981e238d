import { parseQuantity } from '../../circuit/quantity.ts'
import { BoardwrightError } from '../../model/error.ts'
import { Part, type PartKind, type PartVersion } from '../../model/part.ts'
import { canonicalJson } from '../../response/judge/plan-hash.ts'
import { nowOf, type VerbContext, writeJournal } from '../verb-context.ts'
import { readPartNumber } from './find-lot.ts'
import type { PartChanges } from './stock-verbs.ts'

/**
 * Adds a part, or changes what is known of one: a new version. What is left out stays; the same again changes nothing.
 * Errors: bad-argument, bad-quantity.
 */
export function savePart(context: VerbContext, changes: PartChanges): { part: PartVersion; changed: boolean } {
  const number = readPartNumber(changes.number)
  const { store } = context
  return store.transaction(() => {
    const before = store.parts.newest(number)
    const part = mergePart(before, { ...changes, number })
    if (before && canonicalJson(contentOf(before)) === canonicalJson(part)) return { part: before, changed: false }
    const changedAt = nowOf(context)
    const saved = store.parts.insert({ part, changedAt })
    const verb = before ? 'change-part' : 'add-part'
    const detail = { version: saved.version, kind: part.kind, value: part.value }
    writeJournal(context, { at: changedAt, verb, noun: 'part', key: number, detail })
    return { part: saved, changed: true }
  })
}

function contentOf({ version: _, changedAt: __, ...part }: PartVersion): Part {
  return part
}

function mergePart(before: PartVersion | undefined, changes: PartChanges): Part {
  const told = Object.fromEntries(Object.entries(changes).filter(([, value]) => value !== undefined))
  const { resistanceOhm: _, capacitanceF: __, ...kept } = (before ? contentOf(before) : {}) as Partial<Part>
  const merged = { ...kept, ...told } as PartChanges
  if (merged.kind === undefined)
    throw new BoardwrightError('bad-argument', `Part ${changes.number} is new: say what kind of part it is.`)
  const parsed = Part.safeParse({ ...merged, ...nominalOf(merged.kind, merged.value ?? '') })
  if (parsed.success) return parsed.data
  const [issue] = parsed.error.issues
  throw new BoardwrightError(
    'bad-argument',
    `Part ${changes.number} is not right at ${issue!.path.join('.') || 'its description'}: ${issue!.message}.`,
  )
}

/** The value in its SI unit. Errors: bad-quantity. */
function nominalOf(kind: PartKind, value: string): Pick<Part, 'resistanceOhm' | 'capacitanceF'> {
  if (value === '') return {}
  if (kind === 'resistor' || kind === 'potentiometer') return { resistanceOhm: parseQuantity(value, 'resistance') }
  return kind === 'capacitor' ? { capacitanceF: parseQuantity(value, 'capacitance') } : {}
}
