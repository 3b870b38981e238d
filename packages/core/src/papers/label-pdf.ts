import { createRequire } from 'node:module'
import PDFDocument from 'pdfkit'
import type { LabelDrawing, UnitLabelFacts } from './label-drawing.ts'

const pointsPerMm = 72 / 25.4
const require = createRequire(import.meta.url)
// Embedded, for the fonts that every viewer has know neither ohm nor micro.
const fonts = {
  plain: () => require.resolve('dejavu-fonts-ttf/ttf/DejaVuSans.ttf'),
  bold: () => require.resolve('dejavu-fonts-ttf/ttf/DejaVuSans-Bold.ttf'),
}

/** The label as a PDF of one page that has its size. The same facts give the same bytes. */
export function labelPdf(drawing: LabelDrawing, facts: UnitLabelFacts): Promise<Uint8Array> {
  const { widthMm, heightMm, code, lines } = drawing
  const at = new Date(facts.testedAt)
  const document = new PDFDocument({
    size: [widthMm * pointsPerMm, heightMm * pointsPerMm],
    margin: 0,
    info: {
      Title: `Label of ${facts.serial}`,
      Author: facts.maker,
      Creator: 'Boardwright',
      Producer: 'Boardwright',
      CreationDate: at,
      ModDate: at,
    },
  })
  const whole = new Promise<Uint8Array>((resolve, reject) => {
    const pieces: Buffer[] = []
    document.on('data', (piece: Buffer) => pieces.push(piece))
    document.on('end', () => resolve(Buffer.concat(pieces)))
    document.on('error', reject)
  })
  document.scale(pointsPerMm)
  for (const { x, y, length } of code.runs)
    document.rect(code.xMm + x * code.moduleMm, code.yMm + y * code.moduleMm, length * code.moduleMm, code.moduleMm)
  document.fill('#000000')
  for (const { text, xMm, baselineMm, sizeMm, bold, mostMm } of lines) {
    document.font(bold ? fonts.bold() : fonts.plain()).fontSize(sizeMm)
    // A long name is made smaller rather than cut off.
    document.fontSize(sizeMm * Math.min(1, mostMm / document.widthOfString(text)))
    document.text(text, xMm, baselineMm, { lineBreak: false, baseline: 'alphabetic' })
  }
  document.end()
  return whole
}
