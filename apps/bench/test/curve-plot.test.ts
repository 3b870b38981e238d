import { describe, expect, it } from 'vitest'
import { plainPlot, plotCurves } from '../src/plot/curve-plot.ts'

const frequencyHz = Array.from({ length: 241 }, (_, i) => 20 * 1000 ** (i / 240))
const flat = (valueDb: number) => frequencyHz.map(() => valueDb)

/** Column of the plot where a frequency must stand: logarithmic from the axis (column 8) to the last column. */
const columnOf = (at: number, columns: number) => 8 + Math.round((Math.log(at / 20) / Math.log(1000)) * (columns - 12))

describe('curve plot', () => {
  it.each([
    [80, 12],
    [120, 30],
    [40, 6],
  ])('fits in %i x %i', (columns, rows) => {
    const lines = plainPlot(plotCurves({ columns, rows, curve: { frequencyHz, valueDb: flat(3) } })).split('\n')
    expect(lines).toHaveLength(rows)
    for (const line of lines) expect([...line].length).toBeLessThanOrEqual(columns)
  })

  it('puts the labels of the frequency axis where a logarithmic axis has them', () => {
    const lines = plainPlot(plotCurves({ columns: 80, rows: 12 })).split('\n')
    const labels = lines.at(-1) ?? ''
    expect(labels.trim().split(/\s+/)).toEqual(['20', '50', '100', '200', '500', '1k', '2k', '5k', '10k', '20k', 'Hz'])
    expect(labels.indexOf('1k')).toBe(columnOf(1000, 80))
    expect(labels.indexOf('100')).toBe(columnOf(100, 80) - 1)
  })

  it('draws a straight line of slope -20 dB per decade through the right cells', () => {
    const valueDb = frequencyHz.map((f) => -20 * Math.log10(f / 20))
    const lines = plainPlot(plotCurves({ columns: 80, rows: 32, curve: { frequencyHz, valueDb } })).split('\n')
    const rowOf = (db: number) => lines.findIndex((line) => line.startsWith(`${db}`.padStart(6)))
    for (const [hz, db] of [
      [200, -20],
      [2000, -40],
      [20000, -60],
    ]) {
      const inked = lines.slice(0, 30).findIndex((line) => /[⠁-⣿]/.test(line[columnOf(hz, 80)] ?? ' '))
      expect(Math.abs(inked - rowOf(db)), `${hz} Hz`).toBeLessThanOrEqual(1)
    }
  })

  it('marks without colour where the curve leaves the band, and on which side', () => {
    const valueDb = frequencyHz.map((f) => (f < 50 ? 3 : f > 10_000 ? -3 : 0))
    const band = { frequencyHz, lowerDb: flat(-1), upperDb: flat(1) }
    const lines = plainPlot(plotCurves({ columns: 80, rows: 12, curve: { frequencyHz, valueDb }, band })).split('\n')
    const axis = lines.at(-2) ?? ''
    const marks = [...axis].map((character, column) => ({ character, column }))
    const above = marks.filter(({ character }) => character === '▲').map(({ column }) => column)
    const below = marks.filter(({ character }) => character === '▼').map(({ column }) => column)
    expect([above[0], below.at(-1)]).toEqual([8, 76])
    expect(Math.abs((above.at(-1) ?? 0) - columnOf(50, 80))).toBeLessThanOrEqual(1)
    expect(Math.abs(below[0] - columnOf(10_000, 80))).toBeLessThanOrEqual(1)
  })

  it('tells curve, reference and band apart by their dots alone', () => {
    const middle = (request: Parameters<typeof plotCurves>[0]) =>
      plainPlot(plotCurves(request))
        .split('\n')
        .slice(0, 10)
        .join('')
        .replaceAll(/[^⠁-⣿]/g, '')
    const trace = { frequencyHz, valueDb: flat(0) }
    const solid = middle({ columns: 80, rows: 12, curve: trace })
    const dashed = middle({ columns: 80, rows: 12, reference: trace })
    const band = middle({ columns: 80, rows: 12, band: { frequencyHz, lowerDb: flat(-3), upperDb: flat(3) } })
    expect(new Set(solid).size).toBe(1)
    expect(solid).toHaveLength(69)
    expect(dashed.length).toBeLessThan(solid.length)
    expect(new Set(dashed).size).toBeGreaterThan(1)
    expect([...band].every((cell) => (cell.codePointAt(0) ?? 0) !== (solid.codePointAt(0) ?? 0))).toBe(true)
  })

  it('keeps a fixed scale for deviations and draws what lies beyond at its edge', () => {
    const plot = plotCurves({ columns: 80, rows: 6, curve: { frequencyHz, valueDb: flat(-40) }, aroundZeroDb: 4 })
    const lines = plainPlot(plot).split('\n')
    expect(lines[0]).toMatch(/\+\d/)
    expect(lines[3]).toMatch(/⣀{69}/)
  })

  it('draws nothing for a curve that is not there, and survives one without numbers', () => {
    const odd = { frequencyHz, valueDb: flat(Number.NaN) }
    expect(plainPlot(plotCurves({ columns: 80, rows: 8, curve: odd }))).not.toMatch(/[⠁-⣿]/)
    expect(plainPlot(plotCurves({ columns: 80, rows: 8, curve: { frequencyHz: [], valueDb: [] } }))).toContain('Hz')
  })
})
