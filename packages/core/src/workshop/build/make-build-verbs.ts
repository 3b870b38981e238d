import type { VerbContext } from '../verb-context.ts'
import type { BuildVerbs } from './build-verbs.ts'
import { importPartsList } from './import-parts-list.ts'
import { importPlacements } from './import-placements.ts'
import { planBuild } from './plan-build.ts'
import { recordWork } from './record-work.ts'
import { scrapUnit } from './scrap-unit.ts'
import { listBuilds, showBuild } from './show-build.ts'
import { startBuild } from './start-build.ts'
import { traceUnit } from './trace-unit.ts'

/** Binds the verbs about building to one workshop file. */
export const makeBuildVerbs = (context: VerbContext): BuildVerbs => ({
  plan: (what) => context.store.snapshot(() => planBuild(context, what)),
  start: (what) => startBuild(context, what),
  list: (query = {}) => listBuilds(context, query),
  show: (id) => showBuild(context, id),
  recordWork: (what) => recordWork(context, what),
  scrapUnit: (what) => scrapUnit(context, what),
  traceUnit: (serial) => traceUnit(context, serial),
  importPartsList: (what) => importPartsList(context, what),
  importPlacements: (what) => importPlacements(context, what),
})
