import bwip from 'bwip-js/node'
import { BoardwrightError } from '../model/error.ts'

/** A code as squares: `true` is ink. Rows from the top. */
export type CodeSquares = boolean[][]

/**
 * A text as a square Data Matrix, error correction ECC 200, without its quiet zone.
 * Errors: bad-argument when it does not fit.
 * Source: ISO/IEC 16022; made by the package bwip-js, and read back in the tests by another program.
 */
export function dataMatrix(text: string): CodeSquares {
  try {
    const [{ pixs, pixx, pixy }] = bwip.raw({ bcid: 'datamatrix', text }) as {
      pixs: number[]
      pixx: number
      pixy: number
    }[]
    return Array.from({ length: pixy }, (_, y) => Array.from({ length: pixx }, (_, x) => pixs[y * pixx + x] === 1))
  } catch (cause) {
    throw new BoardwrightError('bad-argument', `No code can be made of "${text}".`, { cause })
  }
}

/** The squares as runs of ink, row by row: fewer shapes, and no hairline between two squares of a row. */
export function inkRuns(squares: CodeSquares): { x: number; y: number; length: number }[] {
  return squares.flatMap((row, y) => {
    const runs: { x: number; y: number; length: number }[] = []
    row.forEach((ink, x) => {
      const last = runs.at(-1)
      if (ink && last && last.x + last.length === x) last.length++
      else if (ink) runs.push({ x, y, length: 1 })
    })
    return runs
  })
}
