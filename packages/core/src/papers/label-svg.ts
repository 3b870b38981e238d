import type { LabelDrawing, UnitLabelFacts } from './label-drawing.ts'

const escapeText = (text: string): string =>
  text.replaceAll('&', '&amp;').replaceAll('<', '&lt;').replaceAll('>', '&gt;').replaceAll('"', '&quot;')
const short = (mm: number): string => String(Number(mm.toFixed(3)))
/** Width of a letter of DejaVu Sans as a share of its size, generously: only words that may not fit are held to a length. */
const letterShare = 0.62

/** The label as SVG, in mm. */
export function labelSvg({ widthMm, heightMm, code, lines }: LabelDrawing, facts: UnitLabelFacts): string {
  const ink = code.runs
    .map(({ x, y, length }) => {
      const [left, top] = [code.xMm + x * code.moduleMm, code.yMm + y * code.moduleMm]
      return `M${short(left)} ${short(top)}h${short(length * code.moduleMm)}v${short(code.moduleMm)}h-${short(length * code.moduleMm)}z`
    })
    .join('')
  const words = lines.map(({ text, xMm, baselineMm, sizeMm, bold, mostMm }) => {
    const held =
      text.length * letterShare * sizeMm > mostMm
        ? ` textLength="${short(mostMm)}" lengthAdjust="spacingAndGlyphs"`
        : ''
    return `<text x="${short(xMm)}" y="${short(baselineMm)}" font-size="${short(sizeMm)}"${bold ? ' font-weight="bold"' : ''}${held}>${escapeText(text)}</text>`
  })
  return [
    `<svg xmlns="http://www.w3.org/2000/svg" width="${widthMm}mm" height="${heightMm}mm" viewBox="0 0 ${widthMm} ${heightMm}" role="img" aria-label="${escapeText(`Label of ${facts.serial}`)}">`,
    `<rect width="${widthMm}" height="${heightMm}" fill="#fff"/>`,
    `<path d="${ink}" fill="#000" shape-rendering="crispEdges"/>`,
    `<g font-family="DejaVu Sans, sans-serif" fill="#000">${words.join('')}</g>`,
    '</svg>',
    '',
  ].join('\n')
}
