import { BoardwrightError } from '../../model/error.ts'
import type { GaugeStudy } from '../../model/gauge-study.ts'
import type { VerbContext } from '../verb-context.ts'

/** Errors: not-found. */
export function findStudy({ store }: Pick<VerbContext, 'store'>, id: number): GaugeStudy {
  const study = store.gaugeStudies.find(id)
  if (!study) throw new BoardwrightError('not-found', `There is no gauge study ${id} in this workshop.`)
  return study
}
