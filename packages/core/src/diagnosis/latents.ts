import { lotOf } from '../circuit/draw-board.ts'
import type { Netlist } from '../circuit/netlist.ts'
import type { Parameter } from '../circuit/parameter.ts'

/** How one number of the value vector hangs on the latent numbers: ln(value/nominal) = mean + Σ weight · latent. */
type Spread = { parameter: number; mean: number; parts: { latent: number; weight: number }[] }

/**
 * The unknown of a healthy board: independent standard normal numbers, one for each part and one for each lot that several
 * parts come from. Two sections of one op-amp share one.
 */
export type Latents = { count: number; spreads: Spread[] }

/** Half widths when a part list gives none: common practice, no source. */
const usualTolerance: Partial<Record<Parameter['dimension'], [number, number]>> = {
  resistance: [-0.01, 0.01],
  capacitance: [-0.05, 0.05],
  inductance: [-0.1, 0.1],
}

/** A diode's conductance follows its current, and that the parts around it: standard deviation of its ln, an estimate. */
const conductanceDeviation = 0.15

/** Mean and standard deviation of ln(1 + u), u uniform over the tolerance. */
const logMoments = (low: number, high: number): { mean: number; deviation: number } => {
  const width = high - low
  const first = (x: number) => x * Math.log(x) - x
  const second = (x: number) => x * Math.log(x) ** 2 - 2 * x * Math.log(x) + 2 * x
  // A log of zero is never needed: a value that may vanish is not a tolerance.
  const [a, b] = [Math.max(1e-6, 1 + low), 1 + high]
  const mean = (first(b) - first(a)) / width
  return { mean, deviation: Math.sqrt(Math.max(0, (second(b) - second(a)) / width - mean * mean)) }
}

const toleranceOf = (netlist: Netlist, { designator, kind, dimension, place, spreadLow, spreadHigh }: Parameter) => {
  if (place === 'rig') return undefined
  if (spreadHigh > spreadLow) return [spreadLow, spreadHigh] as const
  const element = netlist.elements.find((e) => e.designator === designator)
  if (kind !== 'value' || !element || element.kind === 'source' || ('tolerance' in element && element.tolerance === 0))
    return undefined
  if (element.kind === 'potentiometer') return [-0.2, 0.2] as const
  if (element.kind === 'capacitor' && element.dielectric === 'electrolytic') return [-0.2, 0.5] as const
  return usualTolerance[dimension]
}

/** The latent numbers of a circuit. Parts of the rig are known and have none. */
export const latentsOf = (netlist: Netlist): Latents => {
  const own = new Map<string, number>()
  const lots = new Map<string, number>()
  const spreads: Spread[] = []
  let count = 0
  const latent = (map: Map<string, number>, key: string) => {
    const found = map.get(key)
    if (found !== undefined) return found
    map.set(key, count)
    return count++
  }
  const members = new Map<string, number>()
  for (const p of netlist.parameters) if (p.place === 'board') members.set(lotOf(p), (members.get(lotOf(p)) ?? 0) + 1)
  netlist.parameters.forEach((p, parameter) => {
    if (p.kind === 'conductance') {
      const parts = [{ latent: latent(own, `${p.group} ${p.kind}`), weight: conductanceDeviation }]
      spreads.push({ parameter, mean: 0, parts })
      return
    }
    const tolerance = toleranceOf(netlist, p)
    if (!tolerance) return
    const { mean, deviation } = logMoments(tolerance[0], tolerance[1])
    const share = (members.get(lotOf(p)) ?? 0) > 1 ? p.lotShare : 0
    const parts = [{ latent: latent(own, `${p.group} ${p.kind}`), weight: deviation * Math.sqrt(1 - share) }]
    if (share > 0) parts.push({ latent: latent(lots, lotOf(p)), weight: deviation * Math.sqrt(share) })
    spreads.push({ parameter, mean, parts })
  })
  return { count, spreads }
}
