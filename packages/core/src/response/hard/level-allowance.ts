import type { HardStep } from '../../model/hard-signature.ts'
import { hasNullBeside } from './harmonic-null.ts'
import { shiftedRange } from './shifted-range.ts'
import { stepsByTone } from './tone-clipping.ts'

/** Past a hard limit harmonics grow with the power 3/2 of what is beyond it: their power 2/3 grows evenly. */
export const even = (levelDb: number): number => 10 ** (levelDb / 30)
export const uneven = (value: number): number => 30 * Math.log10(Math.max(value, 1e-12))

/** What a permitted shift of the clip point does to a quantity of the loud sweep, at the tone of the ladder. */
export interface LevelAllowance {
  toneHz: number
  upDb: number
  downDb: number
}

/**
 * How far a quantity may move at the level of the loud sweep because the clip point may: read off the reference's ladder.
 * Where orders have their nulls over level, a small shift moves them by many decibels, and that is no fault.
 */
export function levelAllowances(options: {
  steps: readonly HardStep[]
  pick: (step: HardStep) => number
  levelV: number
  reachDb: number
  floorDb: number
  /** The harmonic that is picked, so that its zeros are seen. */
  order?: number
}): LevelAllowance[] {
  const { pick, reachDb, floorDb } = options
  const place = 20 * Math.log10(options.levelV)
  return stepsByTone(options.steps).map(({ toneHz, steps }) => {
    const axis = steps.map((step) => 20 * Math.log10(step.inputV))
    const values = steps.map((step) => even(Math.max(floorDb, pick(step))))
    const at = (reach: number) => shiftedRange({ axis, values, place, reach })
    const range = at(reachDb)
    const level = (value: number) => Math.max(floorDb, uneven(value))
    const here = level(at(0).least)
    const nearest = axis.reduce((a, b, i) => (Math.abs(b - place) < Math.abs(axis[a] - place) ? i : a), 0)
    const isNull = options.order !== undefined && hasNullBeside({ steps, at: nearest, order: options.order })
    return { toneHz, upDb: level(range.greatest) - here, downDb: here - (isNull ? floorDb : level(range.least)) }
  })
}

/** The allowance of the tone that is nearest, counted in octaves. */
export const nearestAllowance = (allowances: readonly LevelAllowance[], frequencyHz: number): LevelAllowance =>
  allowances.reduce((a, b) =>
    Math.abs(Math.log(a.toneHz / frequencyHz)) <= Math.abs(Math.log(b.toneHz / frequencyHz)) ? a : b,
  )
