import type { Verdict } from '@boardwright/core'
import type { Fill } from './plot/block-letters.ts'
import type { BoardLook } from './plot/board-drawing.ts'
import type { Layer } from './plot/braille-canvas.ts'

/**
 * Colours of the bench. Blue and orange are told apart by every common kind of colour blindness; nothing is said by
 * colour alone.
 */
const colours: { good?: string; bad?: string; quiet?: string } = { good: '#4da3ff', bad: '#ff9a1f', quiet: 'gray' }

/** None with NO_COLOR (no-color.org: any value that is not empty); bold and inverse stay, they are no colours. */
export const colour = process.env.NO_COLOR ? ({} as typeof colours) : colours

/** How a verdict looks: word, sign, way of filling the letters, and the stroke of the frame all differ. */
export const verdictLook: Record<Verdict, { word: string; sign: string; fill: Fill; edge: string; colour?: string }> = {
  pass: { word: 'PASS', sign: '✓', fill: 'solid', edge: '━', colour: colour.good },
  fail: { word: 'FAIL', sign: '✗', fill: 'cut-out', edge: '╳', colour: colour.bad },
  repeat: { word: 'REPEAT', sign: '↻', fill: 'hatched', edge: '╌' },
}

/** Colour of what is drawn in a plot; undefined: the terminal's own colour. */
export const layerColour: Record<Layer, string | undefined> = {
  band: colour.quiet,
  reference: undefined,
  part: undefined,
  curve: colour.good,
  outside: colour.bad,
}

/** Colour of what is drawn on a board. The suspect differs by filling, inverse name and arrow heads as well. */
export const boardColour: Record<BoardLook, string | undefined> = {
  plain: undefined,
  pad: undefined,
  also: colour.bad,
  lit: colour.bad,
  'lit-name': colour.bad,
}

export const smallest = { columns: 80, rows: 24 } as const
