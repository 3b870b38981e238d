import type { DataLevel } from '@boardwright/core/workshop'
import { readMeter } from '../check-answer.ts'

const level = /^([+-]?(?:\d+\.?\d*|\.\d+))\s*(dbu|dbv|v|vrms|v r\.?m\.?s\.?)$/i

/** A level as data sheets write it: "+4 dBu", "6 dBV", "2 V"; undefined for anything else. */
export function readDataLevel(text: string): DataLevel | undefined {
  const match = level.exec(text.trim().replace(',', '.').replace('\u2212', '-'))
  if (!match) return undefined
  const [, number, unit] = match
  const lower = unit.toLowerCase()
  return { level: Number(number), unit: lower === 'dbu' ? 'dBu' : lower === 'dbv' ? 'dBV' : 'Vrms' }
}

/** A voltage as a meter shows it: "0.52", "520 mV"; undefined for what is none above zero. */
export function readVolts(text: string): number | undefined {
  const volts = readMeter(text, 'V')
  return volts !== undefined && volts > 0 ? volts : undefined
}

const resistance = /^(\d+\.?\d*|\.\d+)\s*([kmr]?)(?:ohm|Ω)?$/i
const letterInside = /^(\d+)([kmr])(\d+)$/i
const factors: Readonly<Record<string, number>> = { '': 1, r: 1, k: 1e3, m: 1e6 }

/** A resistance as makers write it: "4700", "4.7k", "4k7"; undefined for anything else. */
export function readOhm(text: string): number | undefined {
  const plain = text.trim().replace(',', '.')
  const inside = letterInside.exec(plain)
  if (inside) return Number(`${inside[1]}.${inside[3]}`) * factors[inside[2].toLowerCase()]
  const match = resistance.exec(plain)
  return match ? Number(match[1]) * factors[match[2].toLowerCase()] : undefined
}
