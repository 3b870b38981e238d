import { stepPace } from '../../build/step-pace.ts'
import { type Build, doneSteps, type WorkRecord } from '../../model/build.ts'
import { BoardwrightError } from '../../model/error.ts'
import { findProduct } from '../find-product.ts'
import type { VerbContext } from '../verb-context.ts'
import type { BuildDetail, BuildRow, BuildUnit } from './build-verbs.ts'

type Context = Pick<VerbContext, 'store'>

/** Errors: not-found. */
export function findBuild({ store }: Context, id: number): Build {
  const build = store.builds.find(id)
  if (!build) throw new BoardwrightError('not-found', `There is no build ${id} in this workshop.`)
  return build
}

/** A build with its units, what went into it, and the pace of its steps. Errors: not-found. */
export function showBuild(context: Context, id: number): BuildDetail {
  const { store } = context
  return store.snapshot(() => {
    const build = findBuild(context, id)
    const work = store.builds.work({ buildId: id })
    const pace = stepPace(store.builds.work({ productId: build.productId }))
    return { ...rowOf(context, build, work), build, movements: store.stockMovements.ofBuild(id), work, pace }
  })
}

/** Newest first. Errors: not-found (product). */
export function listBuilds(context: Context, query: { productId?: string }): BuildRow[] {
  const { store } = context
  return store.snapshot(() => {
    const productId = query.productId === undefined ? undefined : findProduct(context, query.productId).id
    return store.builds
      .list({ productId })
      .map((build) => rowOf(context, build, store.builds.work({ buildId: build.id })))
  })
}

function rowOf(context: Context, whole: Build, work: readonly WorkRecord[]): BuildRow {
  const units = whole.serials.map((serial) => unitOf(context, { build: whole, serial, work }))
  const { steps: _, ...build } = whole
  return { build, state: units.some(({ state }) => state === 'building') ? 'working' : 'done', units }
}

function unitOf({ store }: Context, what: { build: Build; serial: string; work: readonly WorkRecord[] }): BuildUnit {
  const { build, serial, work } = what
  const { state, lastRunId } = store.units.find(serial)!
  const own = work.filter((record) => record.serial === serial)
  const recorded = doneSteps(own)
  // The rig itself records that step.
  const isDone = ({ key, kind }: Build['steps'][0]) => recorded.has(key) || (kind === 'rig' && lastRunId !== null)
  const next = build.steps.find((step) => !isDone(step))
  return {
    serial,
    state,
    done: build.steps.filter(isDone).map(({ key }) => key),
    next: next?.key ?? null,
    workedS: own.reduce((sum, { workedS }) => sum + (workedS ?? 0), 0),
  }
}
