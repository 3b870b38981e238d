import { execFileSync, spawnSync } from 'node:child_process'
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { labelFacts, makeUnitLabel, type UnitLabel } from '../../src/papers/index.ts'

// The code is read back by dmtxread of Debian's dmtx-utils and the PDF drawn by poppler's pdftoppm: neither is ours.
const run = { serial: 'PLV-0042', startedAt: '2026-11-25T23:30:00.000Z', verdict: 'pass' } as const
const product = { maker: 'Fernhollow Audio', name: 'Plover', revision: 'A' }
let folder: string
let label: UnitLabel

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'boardwright-label-'))
  label = await makeUnitLabel(labelFacts({ product, run, timeZone: 'UTC' }))
})
afterAll(() => rmSync(folder, { recursive: true, force: true }))

/** Draws the PDF at a label printer's 300 dots per inch. */
function draw(pdf: Uint8Array, name: string): string {
  const path = join(folder, name)
  writeFileSync(`${path}.pdf`, pdf)
  execFileSync('pdftoppm', ['-png', '-r', '300', '-singlefile', `${path}.pdf`, path])
  return `${path}.png`
}

const readCode = (png: string): string => spawnSync('dmtxread', ['-N1', '-m5000', png], { encoding: 'utf8' }).stdout

describe('label of a unit', () => {
  it('has the serial number in its code', () => {
    expect(readCode(draw(label.pdf, 'usual'))).toBe('PLV-0042')
  })

  it.each(['1', 'A-1', 'X'.repeat(32), '0123456789', 'PLOVER-2026-000001'])(
    'has %s in its code too',
    async (serial) => {
      const other = await makeUnitLabel(labelFacts({ product, run: { ...run, serial } }))
      expect(readCode(draw(other.pdf, `of-${serial}`))).toBe(serial)
    },
  )

  it('says in words what the code cannot', () => {
    const path = join(folder, 'words.pdf')
    writeFileSync(path, label.pdf)
    const words = execFileSync('pdftotext', ['-layout', path, '-'], { encoding: 'utf8' })
    for (const word of ['Fernhollow Audio', 'Plover rev. A', 'PLV-0042', '25 Nov 2026', 'tested: pass'])
      expect(words).toContain(word)
  })

  it('is one page of 50 by 20 mm with its fonts in it', () => {
    const path = join(folder, 'size.pdf')
    writeFileSync(path, label.pdf)
    const info = execFileSync('pdfinfo', [path], { encoding: 'utf8' })
    expect(info).toMatch(/Pages:\s+1\n/)
    const [, width, height] = /Page size:\s+([\d.]+) x ([\d.]+) pts/.exec(info) ?? []
    // A point is 1/72 inch; pdfinfo gives three decimals at most.
    expect(Number(width)).toBeCloseTo((50 / 25.4) * 72, 1)
    expect(Number(height)).toBeCloseTo((20 / 25.4) * 72, 1)
    const fonts = execFileSync('pdffonts', [path], { encoding: 'utf8' })
    expect(fonts).toMatch(/DejaVuSans\b/)
    expect(fonts).toMatch(/DejaVuSans-Bold/)
  })

  it('is the same file however often it is made', async () => {
    const again = await makeUnitLabel(labelFacts({ product, run, timeZone: 'UTC' }))
    expect(Buffer.from(again.pdf).equals(Buffer.from(label.pdf))).toBe(true)
    expect(again.svg).toBe(label.svg)
  })

  it('names the day where the maker is', () => {
    expect(labelFacts({ product, run, timeZone: 'Asia/Tokyo' }).day).toBe('26 Nov 2026')
  })

  it('makes a long name smaller instead of letting it run out', async () => {
    const long = { ...product, maker: 'Fernhollow Audio and Instrument Electronics Workshop', name: 'Plover & <Wren>' }
    const other = await makeUnitLabel(labelFacts({ product: long, run }))
    const path = join(folder, 'long.pdf')
    writeFileSync(path, other.pdf)
    const box = execFileSync('pdftotext', ['-bbox', path, '-'], { encoding: 'utf8' })
    const rights = [...box.matchAll(/xMax="([\d.]+)"/g)].map((match) => Number(match[1]))
    expect(rights.length).toBeGreaterThan(5)
    // 48 mm: the right margin.
    expect(Math.max(...rights)).toBeLessThan((48.05 / 25.4) * 72)
    expect(other.svg).toContain('Plover &amp; &lt;Wren&gt;')
  })

  it('has the same code as SVG', () => {
    const path = join(folder, 'of-svg.pbm')
    writeFileSync(path, bitmapOf(label.svg))
    expect(readCode(path)).toBe('PLV-0042')
  })
})

/** The code's runs of ink painted onto a bitmap, 40 dots a millimetre, as the SVG places them. */
function bitmapOf(svg: string): string {
  const dotsPerMm = 40
  const [width, height] = [50 * dotsPerMm, 20 * dotsPerMm]
  const dots = new Uint8Array(width * height)
  for (const [, x, y, length, size] of svg.matchAll(/M([\d.]+) ([\d.]+)h([\d.]+)v([\d.]+)/g)) {
    const [left, top, right, bottom] = [+x, +y, +x + +length, +y + +size].map((mm) => Math.round(mm * dotsPerMm))
    for (let row = top; row < bottom; row++) dots.fill(1, row * width + left, row * width + right)
  }
  const rows = Array.from({ length: height }, (_, row) => dots.subarray(row * width, (row + 1) * width).join(' '))
  return `P1\n${width} ${height}\n${rows.join('\n')}\n`
}
