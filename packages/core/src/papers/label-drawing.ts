import type { TestRun } from '../model/test-run.ts'

/** What stands on the label of a unit. */
export interface UnitLabelFacts {
  maker: string
  product: string
  revision: string
  serial: string
  /** The day of the test, as on the wall calendar: 25 Nov 2026. */
  day: string
  verdict: TestRun['verdict']
  /** UTC, ISO 8601: the file is the same however often it is made. */
  testedAt: string
}

/** Everything that a label is drawn from. Lengths in mm, from the upper left corner. */
export interface LabelDrawing {
  widthMm: number
  heightMm: number
  code: { xMm: number; yMm: number; moduleMm: number; runs: { x: number; y: number; length: number }[] }
  lines: { text: string; xMm: number; baselineMm: number; sizeMm: number; bold: boolean; mostMm: number }[]
}
