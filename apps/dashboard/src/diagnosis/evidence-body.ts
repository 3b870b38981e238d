import type { Circuit } from '@boardwright/core'
import type { Call } from '../api/client.ts'

export type EvidenceBody = Call<'addDiagnosis'>['body']

const numberOf = (value: FormDataEntryValue | null): number | undefined => {
  const text = typeof value === 'string' ? value.trim() : ''
  const number = Number(text)
  return text === '' || !Number.isFinite(number) ? undefined : number
}

/** Names of the form's fields: `volts NODE`, `part DESIGNATOR`, `milliampere`, `otherNode` and `otherVolts`. */
export const fieldOf = { volts: (node: string) => `volts ${node}`, part: (name: string) => `part ${name}` }

/** What stands in the form, as the route takes it: volt and ampere, empty fields left out. */
export function evidenceBody(form: FormData): EvidenceBody {
  const body: EvidenceBody = {}
  const milliampere = numberOf(form.get('milliampere'))
  if (milliampere !== undefined) body.supplyCurrentA = Number((milliampere / 1000).toPrecision(12))
  const volts: [string, number][] = []
  const sound: string[] = []
  const faulty: string[] = []
  for (const [name, value] of form) {
    const [kind, subject] = [name.slice(0, name.indexOf(' ')), name.slice(name.indexOf(' ') + 1)]
    const number = numberOf(value)
    if (kind === 'volts' && number !== undefined) volts.push([subject, number])
    if (kind === 'part' && value === 'sound') sound.push(subject)
    if (kind === 'part' && value === 'faulty') faulty.push(subject)
  }
  const other = numberOf(form.get('otherVolts'))
  const node = form.get('otherNode')
  if (other !== undefined && typeof node === 'string' && node !== '') volts.push([node, other])
  if (volts.length > 0) body.nodeVoltagesV = Object.fromEntries(volts)
  if (sound.length > 0) body.soundParts = sound
  if (faulty.length > 0) body.faultyParts = faulty
  return body
}

/** The nodes of a circuit but for ground, with the parts that meet there: what a maker finds a node by. */
export function nodesOf({ elements, ground }: Circuit): { node: string; parts: string[] }[] {
  const parts = new Map<string, string[]>()
  for (const element of elements) {
    if ('place' in element && element.place === 'rig') continue
    const nodes: string[] = element.kind === 'op-amp' ? [...element.nodes, ...element.supplyNodes] : [...element.nodes]
    for (const node of new Set(nodes)) parts.set(node, [...(parts.get(node) ?? []), element.designator])
  }
  parts.delete(ground)
  return [...parts].map(([node, names]) => ({ node, parts: names }))
}
