import { execFileSync, spawn } from 'node:child_process'
import { once } from 'node:events'
import { mkdirSync, readdirSync, readFileSync, truncateSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import { readWaveFile } from '../../src/audio/read-wave-file.ts'
import { writeWaveFile } from '../../src/audio/write-wave-file.ts'
import { temporaryFolder } from '../store/temporary-folder.ts'

const tone = (count: number): Float64Array => Float64Array.from({ length: count }, (_, i) => 0.5 * Math.sin(i / 7))

test.each([
  ['pcm16', 2 ** -15],
  ['pcm24', 2 ** -23],
  ['pcm32', 2 ** -31],
  ['float32', 2 ** -24],
] as const)('a %s file on the disk gives back rate, channels and samples within one step', (format, step) => {
  const path = join(temporaryFolder(), 'tone.wav')
  const channels = [tone(1000), tone(1000).map((x) => -x)]
  const { bytes } = writeWaveFile(path, { rateHz: 96_000, channels, format, metadata: 'Fernhollow' })
  expect(readFileSync(path).length).toBe(bytes)
  const audio = readWaveFile(path)
  expect(audio).toMatchObject({ rateHz: 96_000, sampleFormat: format, truncated: false, metadata: 'Fernhollow' })
  audio.channels.forEach((samples, c) => {
    samples.forEach((x, i) => {
      expect(Math.abs(x - channels[c][i])).toBeLessThanOrEqual(step)
    })
  })
})

test('a recording can come through a pipe, which has no size to ask for', async () => {
  const folder = temporaryFolder()
  const path = join(folder, 'pipe')
  execFileSync('mkfifo', [path])
  const file = join(folder, 'tone.wav')
  // Three times what is read at once.
  writeWaveFile(file, { rateHz: 48_000, channels: [tone(800_000)], format: 'float32' })
  const writer = spawn('sh', ['-c', 'cat "$0" > "$1"', file, path])
  const closed = once(writer, 'close')
  expect(readWaveFile(path)).toEqual(readWaveFile(file))
  await closed
})

test('an older file of the name stays whole when the new one cannot be written', () => {
  const folder = temporaryFolder()
  const path = join(folder, 'tone.wav')
  writeWaveFile(path, { rateHz: 48_000, channels: [tone(100)], format: 'pcm16' })
  const before = readFileSync(path)
  // A folder stands where the part file would be written.
  mkdirSync(`${path}.part-${process.pid}`)
  expect(() => writeWaveFile(path, { rateHz: 48_000, channels: [tone(900)], format: 'pcm16' })).toThrow(
    expect.objectContaining({ code: 'file-not-writable', message: expect.stringContaining(path) }),
  )
  expect(readFileSync(path).equals(before)).toBe(true)
})

test('nothing but the finished file is left in the folder', () => {
  const folder = temporaryFolder()
  writeWaveFile(join(folder, 'a.wav'), { rateHz: 48_000, channels: [tone(100)], format: 'pcm24' })
  expect(() => writeWaveFile(join(folder, 'b.wav'), { rateHz: 48_000, channels: [], format: 'pcm24' })).toThrow(
    expect.objectContaining({ code: 'bad-argument' }),
  )
  expect(readdirSync(folder)).toEqual(['a.wav'])
})

test.each([
  ['missing.wav', 'file-not-readable', 'there is no such file'],
  ['folder.wav', 'file-not-readable', 'folder'],
  ['text.wav', 'not-a-wave-file', 'text.wav'],
  ['empty.wav', 'not-a-wave-file', 'empty.wav'],
])('%s is refused with the code and the path', (name, code, words) => {
  const folder = temporaryFolder()
  mkdirSync(join(folder, 'folder.wav'))
  writeFileSync(join(folder, 'text.wav'), 'not sound at all, but long enough to have had a header in it')
  writeFileSync(join(folder, 'empty.wav'), '')
  const read = () => readWaveFile(join(folder, name))
  expect(read).toThrow(expect.objectContaining({ code, message: expect.stringContaining(words) }))
  expect(read).toThrow(expect.objectContaining({ message: expect.stringContaining(join(folder, name)) }))
})

test('a file far too large for a recording is refused before it is read', () => {
  const path = join(temporaryFolder(), 'huge.wav')
  // Sparse: takes no room on the disk.
  writeFileSync(path, '')
  truncateSync(path, 1_100_000_000)
  expect(() => readWaveFile(path)).toThrow(expect.objectContaining({ code: 'too-large' }))
})
