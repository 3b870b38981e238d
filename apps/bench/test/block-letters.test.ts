import { describe, expect, it } from 'vitest'
import { verdictLook } from '../src/look.ts'
import { blockLetters } from '../src/plot/block-letters.ts'

const looks = Object.values(verdictLook)

describe('block letters', () => {
  for (const { word, fill } of looks)
    for (const [columns, rows] of [
      [76, 11],
      [116, 17],
      [196, 30],
    ]) {
      it(`${word} fills ${columns} x ${rows}`, () => {
        const lines = blockLetters({ word, columns, rows, fill })
        expect(lines).toHaveLength(rows)
        for (const line of lines) expect([...line]).toHaveLength(columns)
        // Readable from two metres: letters take at least four fifths of the width. Common practice for signs: letters
        // 1/200 of the distance high or more; 10 mm at 2 m is 2 rows of a usual terminal, these are 7 and more.
        const inked = lines.flatMap((line) => [...line].flatMap((cell, column) => (cell === ' ' ? [] : [column])))
        expect(Math.max(...inked) - Math.min(...inked) + 1).toBeGreaterThan(columns * 0.8)
        const inkedRows = lines.filter((line) => line.trim() !== '').length
        expect(inkedRows).toBeGreaterThanOrEqual(7)
      })
    }

  it('differ in fill, sign and frame, so that no colour is needed', () => {
    for (const key of ['word', 'sign', 'fill', 'edge'] as const)
      expect(new Set(looks.map((one) => one[key])).size).toBe(3)
    const share = (word: string, fill: (typeof looks)[number]['fill']) => {
      const cells = [...blockLetters({ word, columns: 76, rows: 11, fill }).join('')]
      return { full: cells.filter((cell) => cell === '█').length / cells.length, grey: cells.includes('▒') }
    }
    expect(share('FAIL', 'cut-out').full).toBeGreaterThan(0.5)
    expect(share('PASS', 'solid').full).toBeLessThan(0.5)
    expect([share('REPEAT', 'hatched').grey, share('PASS', 'solid').grey]).toEqual([true, false])
  })

  it('strokes of one word are all equally thick', () => {
    // A row through the middle of the P's and A's stems: runs of ink must have one width.
    const row = blockLetters({ word: 'PASS', columns: 76, rows: 11, fill: 'solid' })[7]
    const runs = row.match(/[^ ]+/g) ?? []
    expect(new Set(runs.map((run) => run.length)).size).toBe(1)
  })
})
