// Photographs the bench: the real program in a real terminal (tmux), its cells drawn by the browser.
import { execFileSync } from 'node:child_process'
import { fileURLToPath } from 'node:url'

const command = fileURLToPath(new URL('../apps/bench/bin/boardwright.mjs', import.meta.url))
const session = `picture-${process.pid}`
const tmux = (...args) => execFileSync('tmux', ['-L', session, ...args]).toString()
const pause = (ms) => new Promise((resolve) => setTimeout(resolve, ms))
const escapeText = (text) => text.replaceAll('&', '&amp;').replaceAll('<', '&lt;')

/** The sixteen colours of a terminal, dark ground. */
const palette = ['#1b1b1b', '#d4574e', '#8fb573', '#d9b15f', '#6f9fd8', '#b58fc9', '#6fb7b7', '#d8d4c8']
const bright = ['#777', '#ef7b70', '#b2d896', '#f2cf86', '#94c1f5', '#d5b0e8', '#93dada', '#fffdf5']
const byIndex = (n) => {
  if (n < 16) return n < 8 ? palette[n] : bright[n - 8]
  if (n >= 232) return `rgb(${Array(3).fill(8 + 10 * (n - 232))})`
  const level = (step) => (step === 0 ? 0 : 55 + 40 * step)
  const m = n - 16
  return `rgb(${[level(Math.floor(m / 36)), level(Math.floor(m / 6) % 6), level(m % 6)]})`
}

/** Applies one "select graphic rendition" sequence (ECMA-48, 8.3.117) to the pen. */
function applySgr(pen, parameters) {
  const codes = parameters === '' ? [0] : parameters.split(/[;:]/).map(Number)
  while (codes.length > 0) {
    const code = codes.shift()
    if (code === 0) for (const key of Object.keys(pen)) delete pen[key]
    else if (code === 1) pen.bold = true
    else if (code === 2) pen.dim = true
    else if (code === 22) pen.bold = pen.dim = false
    else if (code === 7) pen.inverse = true
    else if (code === 27) pen.inverse = false
    else if (code === 39) delete pen.ink
    else if (code === 49) delete pen.ground
    else if (code >= 30 && code <= 37) pen.ink = palette[code - 30]
    else if (code >= 40 && code <= 47) pen.ground = palette[code - 40]
    else if (code >= 90 && code <= 97) pen.ink = bright[code - 90]
    else if (code === 38 || code === 48) {
      const kind = codes.shift()
      const colour = kind === 5 ? byIndex(codes.shift()) : `rgb(${codes.splice(0, 3)})`
      pen[code === 38 ? 'ink' : 'ground'] = colour
    }
  }
}

function spanOf(pen, text) {
  const [ink, ground] = [pen.ink ?? '#e9e4d4', pen.ground ?? 'transparent']
  const style = pen.inverse ? `color:#1e1c18;background:${ink}` : `color:${ink};background:${ground}`
  return `<span style="${style};${pen.bold ? 'font-weight:700;' : ''}${pen.dim ? 'opacity:.65' : ''}">${escapeText(text)}</span>`
}

const escapeCode = String.fromCharCode(27)
const sgr = new RegExp(`(${escapeCode}\\[[0-9;:]*m)`)

function toHtml(captured) {
  const pen = {}
  const html = []
  for (const piece of captured.split(sgr)) {
    if (piece.startsWith(escapeCode)) applySgr(pen, piece.slice(2, -1))
    else if (piece) html.push(spanOf(pen, piece))
  }
  return `<meta charset="utf-8"><body style="margin:0;background:#1e1c18"><pre style="margin:14px;font:16px/20px 'DejaVu Sans Mono',monospace">${html.join('')}</pre>`
}

async function waitFor(text, seconds = 60) {
  for (let i = 0; i < seconds * 5; i++) {
    if (tmux('capture-pane', '-p', '-t', session).includes(text)) return
    await pause(200)
  }
  throw new Error(`the bench did not show "${text}" within ${seconds} s`)
}

/** Opens the bench on the workshop, tests the unit that waits, goes to the curves and photographs them. */
export async function pictureOfBench({ browser, file, path }) {
  const open = `${process.execPath} ${command} --file ${file} open --rig simulated`
  tmux('new-session', '-d', '-s', session, '-x', '80', '-y', '24', open)
  try {
    await waitFor('Enter tests it')
    tmux('send-keys', '-t', session, 'Enter')
    await waitFor('judged in')
    const page = await browser.newPage({ viewport: { width: 800, height: 512 } })
    await page.setContent(toHtml(tmux('capture-pane', '-e', '-p', '-t', session)))
    await page.locator('pre').screenshot({ path })
  } finally {
    tmux('kill-server')
  }
}
