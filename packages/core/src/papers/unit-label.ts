import type { Product } from '../model/product.ts'
import type { TestRun } from '../model/test-run.ts'
import { dataMatrix, inkRuns } from './data-matrix.ts'
import type { LabelDrawing, UnitLabelFacts } from './label-drawing.ts'
import { labelPdf } from './label-pdf.ts'
import { labelSvg } from './label-svg.ts'

export interface UnitLabel {
  /** One page of the label's size, fonts embedded. */
  pdf: Uint8Array
  svg: string
}

/** A usual size of label for small boards and their boxes. Common practice, no source. */
const widthMm = 50
const heightMm = 20
const marginMm = 2
/** The code with its quiet zone of one square to each side fits this. */
const codeMm = heightMm - 2 * marginMm

const verdictWords = { pass: 'tested: pass', fail: 'tested: fail', repeat: 'test to be repeated' } as const

/** The facts of a label from a product and a run. */
export const labelFacts = (what: {
  product: Pick<Product, 'maker' | 'name' | 'revision'>
  run: Pick<TestRun, 'serial' | 'startedAt' | 'verdict'>
  timeZone?: string
}): UnitLabelFacts => ({
  maker: what.product.maker,
  product: what.product.name,
  revision: what.product.revision,
  serial: what.run.serial,
  day: new Intl.DateTimeFormat('en-GB', {
    day: 'numeric',
    month: 'short',
    year: 'numeric',
    timeZone: what.timeZone,
  }).format(new Date(what.run.startedAt)),
  verdict: what.run.verdict,
  testedAt: what.run.startedAt,
})

/** Draws the label: the serial number as a Data Matrix, and in words beside it. Errors: bad-argument. */
function drawLabel(facts: UnitLabelFacts): LabelDrawing {
  const squares = dataMatrix(facts.serial)
  const moduleMm = codeMm / (squares.length + 2)
  const textMm = marginMm + codeMm + 1.5
  const line = (text: string, baselineMm: number, sizeMm: number, bold = false) => ({
    text,
    xMm: textMm,
    baselineMm,
    sizeMm,
    bold,
    mostMm: widthMm - marginMm - textMm,
  })
  return {
    widthMm,
    heightMm,
    code: { xMm: marginMm + moduleMm, yMm: marginMm + moduleMm, moduleMm, runs: inkRuns(squares) },
    lines: [
      line(facts.maker, 4.2, 2.2),
      line(`${facts.product} rev. ${facts.revision}`, 7.6, 2.6),
      line(facts.serial, 12.6, 4.4, true),
      line(facts.day, 15.6, 2.2),
      line(verdictWords[facts.verdict], 18.1, 2.2),
    ],
  }
}

/** Makes the label of a unit. Errors: bad-argument. */
export async function makeUnitLabel(facts: UnitLabelFacts): Promise<UnitLabel> {
  const drawing = drawLabel(facts)
  return { pdf: await labelPdf(drawing, facts), svg: labelSvg(drawing, facts) }
}
