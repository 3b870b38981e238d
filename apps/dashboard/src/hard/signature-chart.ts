import type { HardSweep } from '@boardwright/core'
import type { ChartData, ChartLine } from '../chart/chart-data.ts'

const ordinals: Record<number, string> = { 2: '2nd', 3: '3rd' }
export const ordinalOf = (order: number): string => ordinals[order] ?? `${order}th`

/** One harmonic of the loud sweep over the frequency of the fundamental: the unit's line over the reference's. */
export function harmonicAgainstReference(unit: HardSweep, reference: HardSweep, order: number): ChartData {
  const of = (sweep: HardSweep) => sweep.harmonics.find((one) => one.order === order)?.levelDb ?? []
  const lines: ChartLine[] = [
    { name: 'Reference', ink: 'pencil', width: 2, dash: [8, 5], values: of(reference) },
    { name: 'Unit', ink: 'blue', width: 2.5, values: of(unit) },
  ]
  return { frequencyHz: unit.frequencyHz, lines, marks: [] }
}
