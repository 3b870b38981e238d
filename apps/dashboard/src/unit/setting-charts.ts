import type { PredictedCurve, ReferenceSetting, SettingJudgement, SettingMeasurement } from '@boardwright/core'
import { formatDb, formatHz } from '@boardwright/core'
import { type ChartData, type ChartLine, type ChartMark, mergeGrids, onGrid } from '../chart/chart-data.ts'
import { nearest } from '../chart/nearest.ts'

/** What a setting is drawn from. Nothing is judged here: deviations, limits and guard bands come as the judge left them. */
export interface SettingDrawing {
  curve: NonNullable<SettingMeasurement['curve']>
  judgement: SettingJudgement | undefined
  reference: ReferenceSetting | undefined
  aligned: boolean
  /** What the chosen suspect would look like; null where it is not known, undefined where nothing is suspected. */
  predicted?: { curve: PredictedCurve; name: string } | null
}

/** The deviation that is on show. */
const shownDeviation = (judgement: SettingJudgement, aligned: boolean): number[] =>
  aligned ? judgement.alignedDeviationDb : judgement.deviationDb

/** True or false when the stretches tell which deviation was judged, undefined when there are none. */
export function stretchesAligned(judgement: SettingJudgement | undefined): boolean | undefined {
  const stretch = judgement?.stretches[0]
  if (!judgement || !stretch) return undefined
  const at = judgement.frequencyHz.indexOf(stretch.worstHz)
  if (at < 0) return undefined
  const away = (values: number[]) => Math.abs((values[at] ?? Number.POSITIVE_INFINITY) - stretch.deviationDb)
  return away(judgement.alignedDeviationDb) < away(judgement.deviationDb)
}

/** Marks belong to the deviation that was judged; on the other view they would contradict the curve. */
function marksOf(judgement: SettingJudgement, aligned: boolean, valueAt: (hz: number) => number | null): ChartMark[] {
  if (stretchesAligned(judgement) !== aligned) return []
  // Beside a stretch that surely fails, the close calls at its edges only crowd the chart.
  const failed = judgement.stretches.filter(({ verdict }) => verdict === 'fail')
  return (failed.length > 0 ? failed : judgement.stretches).flatMap((stretch) => {
    const value = valueAt(stretch.worstHz)
    if (value === null) return []
    const text = `${formatDb(stretch.deviationDb, { signed: true })} at ${formatHz(stretch.worstHz)}`
    return [{ frequencyHz: stretch.worstHz, value, text, side: stretch.kind }]
  })
}

function outsideValues(judgement: SettingJudgement, aligned: boolean, values: readonly (number | null)[]) {
  const broken = stretchesAligned(judgement) === aligned ? judgement.stretches : []
  return judgement.frequencyHz.map((f, i) =>
    broken.some(({ verdict, fromHz, toHz }) => verdict === 'fail' && f >= fromHz && f <= toHz)
      ? (values[i] ?? null)
      : null,
  )
}

const limitLine = (name: string, values: (number | null)[]): ChartLine => ({
  name,
  ink: 'pencil',
  width: 1.25,
  values,
})

/** The curve over the reference and the permitted area around it. */
export function curveChart({ curve, judgement, reference, aligned, predicted }: SettingDrawing): ChartData {
  const grid = mergeGrids([curve.frequencyHz, reference?.curve.frequencyHz ?? []])
  const shift = aligned ? (judgement?.levelDifferenceDb ?? 0) : 0
  const unit = curve.gainDb.map((gain) => gain - shift)
  const gainAt = new Map(curve.frequencyHz.map((f, i) => [f, curve.gainDb[i]]))
  const judged = judgement ?? emptyOf(curve)
  const referenceDb = judged.frequencyHz.map((f, i) => (gainAt.get(f) ?? 0) - (judged.deviationDb[i] ?? 0))
  const place = (frequencyHz: readonly number[], values: readonly (number | null)[]) =>
    onGrid({ frequencyHz, values, grid })
  const unitAt = new Map(curve.frequencyHz.map((f, i) => [f, unit[i] ?? null]))
  const outside = outsideValues(
    judged,
    aligned,
    judged.frequencyHz.map((f) => unitAt.get(f) ?? null),
  )
  return {
    frequencyHz: grid,
    band: { upper: 0, lower: 1 },
    marks: marksOf(judged, aligned, (hz) => unitAt.get(hz) ?? null),
    lines: [
      {
        ...limitLine(
          'upper limit',
          place(
            judged.frequencyHz,
            referenceDb.map((r, i) => r + (judged.upperDb[i] ?? 0)),
          ),
        ),
        label: { text: 'tolerance band', at: 0.45, side: 'above' },
      },
      limitLine(
        'lower limit',
        place(
          judged.frequencyHz,
          referenceDb.map((r, i) => r + (judged.lowerDb[i] ?? 0)),
        ),
      ),
      {
        name: 'reference',
        ink: 'ink',
        width: 1.75,
        dash: [9, 5],
        values: reference ? place(reference.curve.frequencyHz, reference.curve.gainDb) : grid.map(() => null),
        label: { text: 'reference', at: 0.86, side: 'below', reachPx: 58 },
      },
      {
        name: 'this unit',
        ink: 'blue',
        width: 2.75,
        values: place(curve.frequencyHz, unit),
        label: { text: 'this unit', at: 0.66, side: 'above', reachPx: 58 },
      },
      { name: 'outside', ink: 'orange', width: 6, values: place(judged.frequencyHz, outside), outOfTable: true },
      // Last, so that it is seen upon what fails: a good suspect runs along the unit.
      ...(predicted === undefined ? [] : [predictedLine(predicted, { grid, shift })]),
    ],
  }
}

/** How far a frequency may lie off the grid's and still be the same one: both came through different arithmetic. */
const sameFrequency = 1e-6

/** The curve of the suspect, at those points of the grid that it was worked out for. */
function predictedLine(
  predicted: NonNullable<SettingDrawing['predicted']> | null,
  { grid, shift }: { grid: readonly number[]; shift: number },
): ChartLine {
  const { frequencyHz = [], gainDb = [] } = predicted?.curve ?? {}
  const values = grid.map((): number | null => null)
  for (const [i, f] of frequencyHz.entries()) {
    const at = nearest(grid, f)
    if (Math.abs((grid[at] ?? 0) / f - 1) < sameFrequency) values[at] = (gainDb[i] ?? 0) - shift
  }
  return {
    name: 'suspect',
    ink: 'ink',
    width: 2.25,
    dash: [14, 4, 3, 4],
    values,
    ...(predicted ? { label: { text: `if ${predicted.name}`, at: 0.3, side: 'below', reachPx: 44 } } : {}),
  }
}

/** The deviation from the reference between its limits, with the guard band inside them. */
export function deviationChart({
  judgement,
  aligned,
}: Pick<SettingDrawing, 'aligned'> & { judgement: SettingJudgement }): ChartData {
  const { frequencyHz, upperDb, lowerDb, guardDb } = judgement
  const deviation = shownDeviation(judgement, aligned)
  const valueAt = (hz: number) => deviation[frequencyHz.indexOf(hz)] ?? null
  const guard = { ink: 'pencil' as const, width: 1.5, dash: [2, 4] }
  return {
    frequencyHz,
    band: { upper: 0, lower: 1 },
    marks: marksOf(judgement, aligned, valueAt),
    lines: [
      { ...limitLine('upper limit', upperDb), width: 2, label: { text: 'limit', at: 0.9, side: 'above' } },
      { ...limitLine('lower limit', lowerDb), width: 2 },
      { ...guard, name: 'upper guard band', values: upperDb.map((u, i) => u - (guardDb[i] ?? 0)) },
      {
        ...guard,
        name: 'lower guard band',
        values: lowerDb.map((l, i) => l + (guardDb[i] ?? 0)),
        label: { text: 'guard band', at: 0.14, side: 'above' },
      },
      { name: 'deviation', ink: 'blue', width: 2.75, values: deviation },
      {
        name: 'outside',
        ink: 'orange',
        width: 6,
        values: outsideValues(judgement, aligned, deviation),
        outOfTable: true,
      },
    ],
  }
}

const emptyOf = (curve: SettingDrawing['curve']) => ({
  setting: '',
  verdict: 'repeat' as const,
  frequencyHz: curve.frequencyHz.slice(0, 0),
  deviationDb: [],
  alignedDeviationDb: [],
  levelDifferenceDb: 0,
  upperDb: [],
  lowerDb: [],
  guardDb: [],
  stretches: [],
})
