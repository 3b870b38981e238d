import type { NextCheck } from '@boardwright/core'
import type { DiagnoseRun } from '@boardwright/core/workshop'

/** How the result of a check is told: as a number in a unit, as sound or wrong, or by running the rig. */
export type AnswerKind =
  | { kind: 'number'; label: string; unit: 'V' | 'mA' }
  | { kind: 'part'; designator: string }
  | { kind: 'sweep'; setting: string; node: string | null }

type Check = Pick<NextCheck, 'kind' | 'setting' | 'node' | 'designator'>

export function answerKind({ kind, setting, node, designator }: Check): AnswerKind | undefined {
  if (kind === 'voltage') return { kind: 'number', label: 'Voltage', unit: 'V' }
  if (kind === 'supply-current') return { kind: 'number', label: 'Supply current', unit: 'mA' }
  if (kind === 'part') return designator === null ? undefined : { kind: 'part', designator }
  return setting === null ? undefined : { kind: 'sweep', setting, node: kind === 'probe' ? node : null }
}

const written = /^([+-]?(?:\d+\.?\d*|\.\d+))\s*([a-zA-Zµ]*)$/

/** Factors to volt and ampere of the units that a meter shows. */
const factors: Readonly<Record<'V' | 'mA', Readonly<Record<string, number>>>> = {
  V: { '': 1, v: 1, mv: 1e-3 },
  mA: { '': 1e-3, ma: 1e-3, ua: 1e-6, µa: 1e-6, a: 1 },
}

/**
 * Reads what a maker copies from a meter: "4.35", "4,35 V", "520 uA"; without a unit the field's own.
 * @returns volt or ampere; undefined when it is no such number
 */
export function readMeter(text: string, unit: 'V' | 'mA'): number | undefined {
  const match = written.exec(text.trim().replace(',', '.').replace('\u03bc', 'µ').replace('\u2212', '-'))
  const factor = match ? factors[unit][match[2].toLowerCase()] : undefined
  return match && factor !== undefined ? Number(match[1]) * factor : undefined
}

/** The number as the diagnosis takes it. */
export function numberAnswer(check: Check, value: number): Pick<DiagnoseRun, 'supplyCurrentA' | 'nodeVoltagesV'> {
  return check.kind === 'supply-current' ? { supplyCurrentA: value } : { nodeVoltagesV: { [check.node ?? '']: value } }
}
