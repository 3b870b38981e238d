import type { SettingJudgement } from '@boardwright/core'
import { describe, expect, test } from 'vitest'
import { mergeGrids, onGrid } from '../src/chart/chart-data.ts'
import { curveChart, deviationChart, stretchesAligned } from '../src/unit/setting-charts.ts'
import { describePoint, summariseChart } from '../src/unit/setting-words.ts'

// Numbers small enough to check in the head: the unit lies 2 dB over the reference at 100 Hz, 1 dB elsewhere.
const curve = {
  frequencyHz: [50, 100, 200, 400],
  gainDb: [5, 6, 3, 1],
  phaseDeg: [0, 0, 0, 0],
  uncertaintyDb: [0, 0, 0, 0],
}
const reference = {
  setting: 'max',
  runs: 3,
  polarity: 1 as const,
  curve: { ...curve, gainDb: [4, 4, 2, 0] },
  repeatabilityDb: [0, 0, 0, 0],
  gainAt1kHzDb: 0,
}
const judgement: SettingJudgement = {
  setting: 'max',
  verdict: 'fail',
  // The band does not reach down to 50 Hz.
  frequencyHz: [100, 200, 400],
  deviationDb: [2, 1, 1],
  alignedDeviationDb: [0.75, -0.25, -0.25],
  levelDifferenceDb: 1.25,
  upperDb: [1.5, 1.5, 1.5],
  lowerDb: [-1.5, -1.5, -1.5],
  guardDb: [0.1, 0.1, 0.1],
  stretches: [
    {
      setting: 'max',
      kind: 'above',
      verdict: 'fail',
      fromHz: 100,
      toHz: 100,
      worstHz: 100,
      deviationDb: 2,
      limitDb: 1.5,
      guardDb: 0.1,
    },
  ],
}
const drawing = { curve, judgement, reference, aligned: false }
const line = (chart: { lines: { name: string; values: (number | null)[] }[] }, name: string) =>
  chart.lines.find((l) => l.name === name)?.values

describe('the curve over reference and band', () => {
  test('the band is the reference plus the limits, and only where it judges', () => {
    const chart = curveChart(drawing)
    expect(chart.frequencyHz).toEqual([50, 100, 200, 400])
    expect(line(chart, 'this unit')).toEqual([5, 6, 3, 1])
    expect(line(chart, 'reference')).toEqual([4, 4, 2, 0])
    expect(line(chart, 'upper limit')).toEqual([null, 5.5, 3.5, 1.5])
    expect(line(chart, 'lower limit')).toEqual([null, 2.5, 0.5, -1.5])
  })

  test('what fails is drawn again and its worst point is written', () => {
    const chart = curveChart(drawing)
    expect(line(chart, 'outside')).toEqual([null, 6, null, null])
    expect(chart.marks).toEqual([{ frequencyHz: 100, value: 6, text: '+2.0 dB at 100 Hz', side: 'above' }])
  })

  test('level-aligned takes the level difference out of the unit, not out of the reference', () => {
    const chart = curveChart({ ...drawing, aligned: true })
    expect(line(chart, 'this unit')).toEqual([3.75, 4.75, 1.75, -0.25])
    expect(line(chart, 'reference')).toEqual([4, 4, 2, 0])
    // The stretch was judged on absolute levels: in this view its mark would contradict the curve.
    expect(chart.marks).toEqual([])
  })

  test('a reference on another grid keeps its own points', () => {
    const other = { ...reference, curve: { ...reference.curve, frequencyHz: [50, 75, 100, 200] } }
    const chart = curveChart({ ...drawing, reference: other })
    expect(chart.frequencyHz).toEqual([50, 75, 100, 200, 400])
    expect(line(chart, 'reference')).toEqual([4, 4, 2, 0, null])
    expect(line(chart, 'this unit')).toEqual([5, null, 6, 3, 1])
  })

  test('the suspect is drawn where it was worked out, level-aligned like the unit, and adds no row', () => {
    // Frequencies that came through other arithmetic differ in the last digits.
    const predicted = {
      name: 'C7',
      curve: { setting: 'max', frequencyHz: [100 * (1 + 1e-12), 400], gainDb: [6.5, 1.5] },
    }
    const chart = curveChart({ ...drawing, predicted })
    expect(chart.frequencyHz).toEqual([50, 100, 200, 400])
    expect(line(chart, 'suspect')).toEqual([null, 6.5, null, 1.5])
    expect(line(curveChart({ ...drawing, predicted, aligned: true }), 'suspect')).toEqual([null, 5.25, null, 0.25])
    // Nothing suspected: no such line. Suspected, and not known here: a line without points.
    expect(line(chart, 'this unit')).toEqual(line(curveChart(drawing), 'this unit'))
    expect(line(curveChart(drawing), 'suspect')).toBeUndefined()
    expect(line(curveChart({ ...drawing, predicted: null }), 'suspect')).toEqual([null, null, null, null])
  })

  test('without judgement and reference the curve stands alone', () => {
    const chart = curveChart({ curve, judgement: undefined, reference: undefined, aligned: false })
    expect(line(chart, 'this unit')).toEqual([5, 6, 3, 1])
    expect(line(chart, 'upper limit')).toEqual([null, null, null, null])
  })
})

describe('the deviation', () => {
  test('guard bands lie inside the limits', () => {
    const chart = deviationChart({ judgement, aligned: false })
    expect(line(chart, 'deviation')).toEqual([2, 1, 1])
    expect(line(chart, 'upper guard band')).toEqual([1.4, 1.4, 1.4])
    expect(line(chart, 'lower guard band')).toEqual([-1.4, -1.4, -1.4])
  })

  test('the stretches tell which deviation was judged', () => {
    expect(stretchesAligned(judgement)).toBe(false)
    const stretches = judgement.stretches.map((stretch) => ({ ...stretch, deviationDb: 0.75 }))
    expect(stretchesAligned({ ...judgement, stretches })).toBe(true)
    expect(stretchesAligned({ ...judgement, stretches: [] })).toBeUndefined()
  })
})

describe('in words', () => {
  test('a judged point and one beyond the band', () => {
    expect(describePoint({ ...drawing, index: 1 })).toBe(
      'this unit +6.00 dB, reference +4.00 dB, deviation +2.00 dB (limits \u22121.50 dB and +1.50 dB, guard band 0.10 dB)',
    )
    expect(describePoint({ ...drawing, index: 0 })).toBe('this unit +5.00 dB, reference +4.00 dB, not judged here')
  })

  test('a chart says where it is outside', () => {
    expect(summariseChart({ what: 'Response curve', serial: 'PLV-0001', setting: 'max', judgement })).toBe(
      'Response curve of PLV-0001 at max. outside above from 100 Hz to 100 Hz, worst +2.00 dB at 100 Hz, limit +1.50 dB.',
    )
  })
})

test('grids are merged without inventing points', () => {
  const grid = mergeGrids([
    [1, 2, 4],
    [2, 3],
  ])
  expect(grid).toEqual([1, 2, 3, 4])
  expect(onGrid({ frequencyHz: [2, 3], values: [20, 30], grid })).toEqual([null, 20, 30, null])
})
