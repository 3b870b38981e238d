import { execFileSync } from 'node:child_process'
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { makeSweep, measureRecording, readWave, recogniseSweep, sweepMetadata, writeWave } from '@boardwright/core'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'

// Recordings made by a tool that is not ours: sox filters the sweep file, and the closed form of its filter is expected.
// Biquads as in R. Bristow-Johnson's audio equaliser cookbook, from memory.
type Kind = 'lowpass' | 'highpass' | 'equalizer' | 'bass' | 'treble'

const coefficients = (kind: Kind, f: number, q: number, gainDb: number, rateHz: number) => {
  const a = 10 ** (gainDb / 40)
  const w = (2 * Math.PI * f) / rateHz
  const c = Math.cos(w)
  const alpha = Math.sin(w) / (2 * q)
  const root = 2 * Math.sqrt(a) * alpha
  // The treble shelf is the bass shelf with the sign of the cosine turned.
  const shelf = (s: 1 | -1) => ({
    b: [
      a * (a + 1 - s * (a - 1) * c + root),
      s * 2 * a * (a - 1 - s * (a + 1) * c),
      a * (a + 1 - s * (a - 1) * c - root),
    ],
    a: [a + 1 + s * (a - 1) * c + root, -s * 2 * (a - 1 + s * (a + 1) * c), a + 1 + s * (a - 1) * c - root],
  })
  const plain = { a: [1 + alpha, -2 * c, 1 - alpha] }
  const table = {
    lowpass: { b: [(1 - c) / 2, 1 - c, (1 - c) / 2], ...plain },
    highpass: { b: [(1 + c) / 2, -(1 + c), (1 + c) / 2], ...plain },
    equalizer: { b: [1 + alpha * a, -2 * c, 1 - alpha * a], a: [1 + alpha / a, -2 * c, 1 - alpha / a] },
    bass: shelf(1),
    treble: shelf(-1),
  }
  return table[kind]
}

const gainOf = (filter: { b: number[]; a: number[] }, f: number, rateHz: number) => {
  const w = (2 * Math.PI * f) / rateHz
  const size = (p: number[]) =>
    Math.hypot(
      p.reduce((sum, v, k) => sum + v * Math.cos(k * w), 0),
      p.reduce((sum, v, k) => sum + v * Math.sin(k * w), 0),
    )
  return 20 * Math.log10(size(filter.b) / size(filter.a))
}

const folder = mkdtempSync(join(tmpdir(), 'boardwright-sox-'))
const sox = (...words: string[]) =>
  execFileSync('sox', words, { stdio: ['ignore', 'pipe', 'pipe'], maxBuffer: 2 ** 26 })

beforeAll(() => {
  try {
    sox('--version')
  } catch (cause) {
    throw new Error('sox is not installed; npm test installs the Debian package "sox", or install it by hand.', {
      cause,
    })
  }
})
afterAll(() => rmSync(folder, { recursive: true, force: true }))

describe.each([44_100, 48_000, 96_000])('sox at %d Hz', (rateHz) => {
  const settings = {
    rateHz,
    durationS: 4,
    fromHz: 20,
    toHz: 20_000,
    levelDbfs: -20,
    repeats: 1,
    silenceBeforeS: 0.3,
    silenceAfterS: 0.7,
    markers: true,
  }
  const sweepFile = join(folder, `sweep-${rateHz}.wav`)
  const answerFile = join(folder, `answer-${rateHz}.wav`)
  beforeAll(() => {
    const { samples } = makeSweep(settings)
    const bytes = writeWave({ rateHz, channels: [samples], format: 'pcm24', metadata: sweepMetadata(settings) })
    writeFileSync(sweepFile, bytes)
  })

  test.each<[Kind, number, number, number, string[]]>([
    ['lowpass', 6000, 0.8, 0, ['lowpass', '-2', '6000', '0.8q']],
    ['highpass', 60, 0.8, 0, ['highpass', '-2', '60', '0.8q']],
    ['equalizer', 1000, 3, 12, ['equalizer', '1000', '3q', '12']],
    ['equalizer', 120, 1.4, -12, ['equalizer', '120', '1.4q', '-12']],
    ['bass', 150, 0.6, 14, ['bass', '14', '150', '0.6q']],
    ['treble', 3000, 0.6, -14, ['treble', '-14', '3000', '0.6q']],
  ])('%s at %d Hz, Q %d, %d dB', (kind, f, q, gainDb, words) => {
    sox('-D', sweepFile, '-b', '24', answerFile, ...words)
    const recording = readWave(readFileSync(answerFile))
    const sweep = recogniseSweep(readWave(readFileSync(sweepFile)))
    const { curve } = measureRecording({ sweep, recording })
    const filter = coefficients(kind, f, q, gainDb, rateHz)
    expect(curve?.frequencyHz).toHaveLength(241)
    curve?.frequencyHz.forEach((at, i) => {
      // Sox rounds to 24 bits and -20 dBFS leaves 120 dB: nothing but the method is left at these levels.
      expect(Math.abs(curve.gainDb[i] - gainOf(filter, at, rateHz)), `${at} Hz`).toBeLessThan(0.01)
    })
  })

  test('a sweep file that sox has rewritten is still the same stimulus', () => {
    const rewritten = join(folder, `rewritten-${rateHz}.wav`)
    sox('-D', sweepFile, '-b', '32', '-e', 'floating-point', rewritten)
    const audio = readWave(readFileSync(rewritten))
    expect(audio.metadata).toBeUndefined()
    const original = recogniseSweep(readWave(readFileSync(sweepFile)))
    const found = recogniseSweep(audio)
    expect(Math.abs((found.rateS ?? 0) / (original.rateS ?? 1) - 1)).toBeLessThan(1e-6)
  })

  test('a recording that sox streamed through a pipe is read whole', () => {
    const bytes = sox('-D', sweepFile, '-t', 'wav', '-b', '16', '-')
    const audio = readWave(bytes)
    const frames = readWave(readFileSync(sweepFile)).channels[0].length
    expect(audio).toMatchObject({ rateHz, truncated: false })
    expect(audio.channels[0].length).toBe(frames)
  })
})
