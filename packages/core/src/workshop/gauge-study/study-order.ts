import { RandomSource, seedOf } from '../../circuit/random.ts'
import type { GaugeStep, GaugeStudy } from '../../model/gauge-study.ts'

/**
 * The order of a study's readings: in each set-up every board is put in once, in an order of its own, and read so many times
 * before it is taken out; a drift of the rig is then not taken for a difference of boards. The same seed gives the same order.
 * Source: shuffling by R. Durstenfeld, Comm. ACM 7 (1964), algorithm 235.
 */
export function studyOrder({
  serials,
  repeats,
  setUps,
  seed,
}: Pick<GaugeStudy, 'serials' | 'repeats' | 'setUps' | 'seed'>): GaugeStep[] {
  const steps: GaugeStep[] = []
  for (let setUp = 1; setUp <= setUps; setUp++) {
    const random = new RandomSource(seedOf(seed, `set-up ${setUp}`))
    const boards = [...serials]
    for (let i = boards.length - 1; i > 0; i--) {
      const j = Math.floor(random.uniform() * (i + 1))
      const other = boards[j]
      boards[j] = boards[i]
      boards[i] = other
    }
    for (const serial of boards)
      for (let repeat = 1; repeat <= repeats; repeat++)
        steps.push({ position: steps.length + 1, serial, setUp, repeat })
  }
  return steps
}

/** The step that comes next; null when the study is complete or given up. */
export const nextStep = (study: GaugeStudy): GaugeStep | null =>
  study.state === 'running' ? (studyOrder(study)[study.readings] ?? null) : null
