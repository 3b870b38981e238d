import type { SweepSignal } from '../sweep/sweep-signal.ts'
import type { ComplexArray } from './complex-grid.ts'
import { deconvolve, levelCount } from './deconvolve.ts'
import { type GridKernels, makeGridKernels, readGrid } from './grid-kernels.ts'
import { designInverseFilter, type InverseFilter } from './inverse-filter.ts'
import { harmonicWindow, longWindow, type MeasuringWindow, noiseWindow, shortWindow } from './measuring-window.ts'

/** Harmonics that are measured. */
export const harmonicOrders: readonly number[] = [2, 3, 4, 5]

/** Sums over one kind of window, and what they read from the stimulus itself (a response of 1). */
export interface PlannedReading {
  kernels: GridKernels
  /** Dividing by this takes out the band edges of the inverse filter as this window sees them. */
  ofStimulus: ComplexArray
}

/** Everything about a stimulus that does not change from one recording to the next. */
export interface ResponsePlan {
  sweep: SweepSignal
  filter: InverseFilter
  long: PlannedReading
  short: PlannedReading
  noise: PlannedReading
  /** By order, empty for a stimulus that is no exponential sweep. */
  harmonics: Map<number, PlannedReading>
}

const plans = new WeakMap<SweepSignal, ResponsePlan>()

const makePlan = (sweep: SweepSignal): ResponsePlan => {
  const filter = designInverseFilter(sweep)
  const { rateS } = sweep
  const body = sweep.bodies[0]
  const levels = deconvolve({
    filter,
    samples: sweep.samples,
    fromSample: body.startSample,
    toSample: body.endSample,
  })
  const planReading = (windowAt: (frequencyHz: number) => MeasuringWindow): PlannedReading => {
    const kernels = makeGridKernels({ rateHz: sweep.rateHz, levels: levelCount(filter), windowAt })
    return { kernels, ofStimulus: readGrid({ kernels, levels, centreS: 0, zeroS: 0 }) }
  }
  const harmonics = new Map<number, PlannedReading>()
  if (rateS !== null) {
    for (const order of harmonicOrders)
      harmonics.set(
        order,
        planReading((f) => harmonicWindow(f, rateS, order)),
      )
  }
  return {
    sweep,
    filter,
    long: planReading((f) => longWindow(f, rateS)),
    short: planReading((f) => shortWindow(f, rateS)),
    noise: planReading(noiseWindow),
    harmonics,
  }
}

/** The plan of a stimulus; kept with it, so that later recordings of it are quick. */
export const responsePlan = (sweep: SweepSignal): ResponsePlan => {
  const known = plans.get(sweep)
  if (known) return known
  const made = makePlan(sweep)
  plans.set(sweep, made)
  return made
}
