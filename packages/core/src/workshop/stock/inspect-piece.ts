import { BoardwrightError } from '../../model/error.ts'
import type { InspectionStatus } from '../../model/lot-inspection.ts'
import type { LotInStock } from '../../model/part-lot.ts'
import { nowOf, type VerbContext, writeJournal } from '../verb-context.ts'
import { setLotState } from './decide-lot.ts'
import { findLot } from './find-lot.ts'
import { inspectionStatus } from './inspection-status.ts'
import type { InspectPiece } from './stock-verbs.ts'

/**
 * Takes up how one piece of a lot did in the socketed board. As soon as the plan decides, a lot that waits for its inspection
 * is accepted, or held for the maker to decide. Errors: bad-argument, not-found.
 */
export function inspectPiece(
  context: VerbContext,
  what: InspectPiece,
): { lot: LotInStock; inspection: InspectionStatus } {
  const { store, station } = context
  return store.transaction(() => {
    const lot = findLot(context, what.lot)
    const readings = store.partLots.readings(lot.id)
    const statusWith = (all: typeof readings) => statusOf(context, lot, all)
    if (readings.length >= lot.received)
      throw new BoardwrightError('bad-argument', `Every piece of lot ${lot.id} has been tried.`)
    statusWith(readings)
    const good = isGood(context, what)
    const at = nowOf(context)
    const piece = readings.length + 1
    const note = (what.note ?? '').trim().slice(0, 500)
    const reading = { lotId: lot.id, piece, at, station, good, runId: what.runId ?? null, note }
    store.partLots.insertReading(reading)
    const detail = { piece, good, runId: reading.runId }
    writeJournal(context, { at, verb: 'inspect-piece', noun: 'part-lot', key: lot.id, detail })
    const inspection = statusWith([...readings, reading])
    if (lot.state !== 'awaiting-inspection' || inspection.outcome === 'more')
      return { lot: findLot(context, lot.id), inspection }
    const { tried, bad, acceptanceNumber } = inspection
    const state = inspection.outcome === 'accept' ? 'accepted' : 'held'
    const reason = `${bad} bad of ${tried} tried, ${acceptanceNumber} allowed`
    return { lot: setLotState(context, { id: lot.id, state, reason }), inspection }
  })
}

function statusOf({ store }: VerbContext, lot: LotInStock, readings: ReturnType<typeof store.partLots.readings>) {
  const { inspection } = store.parts.newest(lot.part)!
  const status = inspectionStatus({ inspection, lotSize: lot.received, readings })
  if (status) return status
  throw new BoardwrightError('bad-argument', `Part ${lot.part} is taken without inspection.`, {
    remedy: 'Say how its lots are inspected: boardwright stock part NUMBER --inspect sample',
  })
}

function isGood({ store }: VerbContext, { runId, good }: InspectPiece): boolean {
  if ((runId === undefined) === (good === undefined))
    throw new BoardwrightError(
      'bad-argument',
      'Say how the piece did: either good or bad, or the test run that says it.',
    )
  if (runId === undefined) return good!
  const run = store.testRuns.summary(runId)
  if (!run) throw new BoardwrightError('not-found', `There is no test run ${runId} in this workshop.`)
  if (run.verdict === 'repeat')
    throw new BoardwrightError('bad-argument', `Test run ${runId} says nothing yet: ${run.reason}`)
  return run.verdict === 'pass'
}
