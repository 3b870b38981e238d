import type { HardAtSupply, HardHarmonic, HardSignature, HardStep, HardSweep } from '../../model/hard-signature.ts'
import { wrapDeg } from './tone-harmonics.ts'

const mean = (values: readonly number[]): number => values.reduce((sum, v) => sum + v, 0) / values.length

/** The mean direction, degrees. */
function meanDeg(values: readonly number[]): number {
  const sum = (of: (rad: number) => number) => values.reduce((s, deg) => s + of((deg * Math.PI) / 180), 0)
  return wrapDeg((Math.atan2(sum(Math.sin), sum(Math.cos)) * 180) / Math.PI)
}

/** The mean of numbers that are all there; null where one take has none. */
function meanOrNull(values: readonly (number | null)[], of = mean): number | null {
  const there = values.filter((v) => v !== null)
  return there.length === values.length ? of(there) : null
}

const meanStep = (steps: readonly HardStep[]): HardStep => ({
  ...steps[0],
  gainDb: mean(steps.map((s) => s.gainDb)),
  thdPercent: mean(steps.map((s) => s.thdPercent)),
  highV: mean(steps.map((s) => s.highV)),
  lowV: mean(steps.map((s) => s.lowV)),
  harmonics: steps[0].harmonics.map(({ order }, i): HardHarmonic => {
    const of = steps.map((s) => s.harmonics[i])
    return {
      order,
      levelDb: mean(of.map((h) => h.levelDb)),
      phaseDeg: meanDeg(of.map((h) => h.phaseDeg)),
      noiseDb: mean(of.map((h) => h.noiseDb)),
    }
  }),
})

const meanSweep = (sweeps: readonly HardSweep[]): HardSweep => ({
  ...sweeps[0],
  gainDb: sweeps[0].gainDb.map((_, i) => mean(sweeps.map((s) => s.gainDb[i]))),
  thdPercent: sweeps[0].thdPercent.map((_, i) => mean(sweeps.map((s) => s.thdPercent[i]))),
  harmonics: sweeps[0].harmonics.map(({ order }, k) => {
    const over = (pick: (h: HardSweep['harmonics'][number]) => (number | null)[], of = mean) =>
      pick(sweeps[0].harmonics[k]).map((_, i) =>
        meanOrNull(
          sweeps.map((s) => pick(s.harmonics[k])[i]),
          of,
        ),
      )
    return {
      order,
      levelDb: over((h) => h.levelDb),
      phaseDeg: over((h) => h.phaseDeg, meanDeg),
      noiseDb: over((h) => h.noiseDb),
    }
  }),
})

/**
 * What the takes of the reference board have in common: means of levels in dB, of phases as directions.
 * @param takes of one plan: with the same supplies, tones, levels and sweep
 */
export function meanSignature(takes: readonly HardSignature[]): HardSignature {
  const [first] = takes
  return {
    setting: first.setting,
    supplies: first.supplies.map((supply, i): HardAtSupply => {
      const all = takes.map((take) => take.supplies[i])
      const sweeps = all.map((one) => one.sweep).filter((sweep) => sweep !== null)
      return {
        ...supply,
        findings: [],
        steps: supply.steps.map((_, k) => meanStep(all.map((one) => one.steps[k]))),
        sweep: sweeps.length === all.length ? meanSweep(sweeps) : null,
      }
    }),
  }
}

/** Standard deviation from one take to the next; `whenOne` when there is a single one, which tells nothing. */
export function takeDeviation(values: readonly number[], whenOne: number): number {
  if (values.length < 2) return whenOne
  const centre = mean(values)
  return Math.sqrt(values.reduce((sum, v) => sum + (v - centre) ** 2, 0) / (values.length - 1))
}
