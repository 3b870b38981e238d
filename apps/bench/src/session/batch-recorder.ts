import type { RigSettings, SweepSettings, Unit, Verdict } from '@boardwright/core'
import { makeSweep } from '@boardwright/core'
import type { RecordTestRun, SettingRecording, Workshop } from '@boardwright/core/workshop'
import { type BoardCurves, type Likeness, sameBoardAs } from './board-likeness.ts'
import { type LabelOutcome, type LabelWay, printLabel } from './print-label.ts'

/** What was recorded of one board. */
export interface RecordedBoard {
  serial: string
  productId: string
  rig: RecordTestRun['rig']
  rigSettings?: RigSettings
  loopBackChannel?: number
  sweep: SweepSettings
  recordings: SettingRecording[]
}

export interface KeptBoard {
  runId: string
  serial: string
  verdict: Verdict
  /** What decided, in words. */
  reason: string
  state: Unit['state']
  newUnit: boolean
}

/** Analyses, judges, stores and labels boards while the next one is on the rig. */
export interface BatchRecorder {
  /**
   * Measures a board and keeps it in mind. @returns the board of this batch that it seems to be although its serial number
   * says another
   */
  analyse(board: RecordedBoard): Promise<Likeness | undefined>
  /** Judges and stores the board that was analysed last. Errors: those of `recordTestRun`. */
  keep(): Promise<KeptBoard>
  /** Makes and prints the label of a run; never fails. */
  label(runId: string): Promise<LabelOutcome>
  /** Ends when what is under way is done. */
  close(): Promise<void>
}

/** So many boards back are held against a new one. */
const remembered = 12

/** The recorder in this thread; the bench has one in a thread of its own. */
export function makeBatchRecorder({ workshop, way }: { workshop: Workshop; way: LabelWay }): BatchRecorder {
  const earlier: BoardCurves[] = []
  let latest: { board: RecordedBoard; curves: BoardCurves } | undefined
  const running = new Set<Promise<unknown>>()
  return {
    async analyse(board) {
      const sweep = sweepOf(board.sweep)
      const { productId, loopBackChannel, rigSettings, recordings, serial } = board
      const settings = recordings.map((recording) =>
        workshop.measureAhead({ recording, productId, sweep, loopBackChannel, rigSettings }),
      )
      latest = { board, curves: { serial, settings } }
      return sameBoardAs(latest.curves, earlier)
    },
    async keep() {
      if (!latest) throw new Error('no board was analysed')
      const { board, curves } = latest
      latest = undefined
      const { run, unit, newUnit } = workshop.recordTestRun({ ...board, sweep: sweepOf(board.sweep) })
      earlier.unshift(curves)
      earlier.length = Math.min(earlier.length, remembered)
      const reason = run.judgement.reasons.find((one) => one.verdict === run.verdict)?.message ?? ''
      return { runId: run.id, serial: run.serial, verdict: run.verdict, reason, state: unit.state, newUnit }
    },
    label(runId) {
      const { run } = workshop.testRun(runId)
      const product = workshop.product(run.productId, run.revision)
      const printing = labelOf({ product, run, way })
      running.add(printing)
      return printing.finally(() => running.delete(printing))
    },
    async close() {
      await Promise.allSettled(running)
    },
  }
}

/** The papers bring the fonts along: they are loaded with the first label. */
async function labelOf(what: {
  product: ReturnType<Workshop['product']>
  run: ReturnType<Workshop['testRun']>['run']
  way: LabelWay
}): Promise<LabelOutcome> {
  const { labelFacts } = await import('@boardwright/core/papers')
  return printLabel(labelFacts(what), what.way)
}

let kept: { key: string; sweep: ReturnType<typeof makeSweep> } | undefined
function sweepOf(settings: SweepSettings) {
  const key = JSON.stringify(settings)
  if (kept?.key !== key) kept = { key, sweep: makeSweep(settings) }
  return kept.sweep
}
